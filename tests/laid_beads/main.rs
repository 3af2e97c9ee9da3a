//! Beads read from photographs: drawn ones, with beads of published reflectances in published lights.

mod drawn;
mod names;
mod reading;
mod spectra;
