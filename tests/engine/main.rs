//! The engine, room by room, in one program: each program of tests costs a build of its own.

mod anatomy;
mod cast;
mod count;
mod detectors;
mod dialects;
mod figure_file;
mod likeness;
mod photographs;
mod plain_body;
mod plan;
mod properties;
mod published;
mod reduction;
mod rematch;
mod reuse;
mod rules;
mod rules_of_a_cast;
mod sheet_reliability;
mod tray;
mod trial;
mod whereabouts;
