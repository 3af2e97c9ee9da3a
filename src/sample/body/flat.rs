//! One flat colour a garment: its shaded side joins its lit one.
//!
//! A sketch shades one side of a sleeve or a leg with a colour of its own. Both designs by eye that each of our
//! sketches has leave that out. Light falls from a side, so that shade lies beside its garment, not over or
//! under it, where another garment would.

use ndarray::Array2;

use crate::colour::Lab;
use crate::reference::mask::{beside, pieces};
use crate::sample::Cluster;
use crate::sample::labels::{GROUND, Labels};

/// Shade touches its garment along at least so much of its own edge within the figure,
const TOUCHES: f64 = 0.3;

/// ... and so much of all its edge, or it is a thing of its own that a hand holds;
const ALONG: f64 = 0.12;

/// ... at least so much of that side to side,
const BESIDE: f64 = 0.5;

/// ... or lies in among it, as blots of a wash do: their common edge is so many times the root of its area,
const INTERLEAVED: f64 = 2.0;

/// ... keeps its hue within so many degrees where it has one,
const HUE: f64 = 22.0;

/// ... or stays so near in hue and chroma where it is nearly grey,
const GREY: f64 = 12.0;

/// ... is at most so much darker,
const DARKER: f64 = 30.0;

/// ... and hardly more colourful: a part and an addend for what chroma may grow by.
const CHROMA: (f64, f64) = (1.12, 3.0);

/// ... nor less colourful than so much of what its lightness leaves it.
const KEEPS: f64 = 0.7;

/// Colours with less chroma than this have no hue to speak of.
const HAS_HUE: f64 = 14.0;

/// From this lightness on and below this chroma a colour is white; its shade, cast by the sky, has less chroma
/// than the second.
const WHITE: (f64, f64) = (86.0, 6.0);
const WHITE_SHADE: f64 = 9.5;

/// Fewer pixels than these have no say.
const FEW: f64 = 30.0;

/// Joins shades to their garments. Labels stay as they are numbered; a joined colour has no pixels left.
pub(super) fn join_shades(labels: &mut Labels) {
    while let Some((shade, garment)) = find_shade(labels) {
        let moved = join_touching(labels, shade as u8, garment as u8);
        let part = Cluster { pixels: moved, ..labels.clusters[shade - 1].clone() };
        labels.clusters[garment - 1] = joined(&labels.clusters[garment - 1], &part);
        labels.clusters[shade - 1].pixels -= moved.min(labels.clusters[shade - 1].pixels);
    }
}

/// Gives what touches the garment its label: a hat in the colour of a coat's folds lies elsewhere and stays a hat. How
/// many pixels that were.
fn join_touching(labels: &mut Labels, shade: u8, garment: u8) -> usize {
    let plane = &mut labels.plane;
    let own = pieces(&plane.map(|label| *label == shade));
    let touches = |piece: &Vec<(usize, usize)>| {
        piece.iter().any(|place| beside(*place, plane.dim()).any(|near| plane[near] == garment))
    };
    let joining: Vec<Vec<(usize, usize)>> = own.into_iter().filter(touches).collect();
    joining.iter().flatten().for_each(|place| plane[*place] = garment);
    joining.iter().map(Vec::len).sum()
}

/// The mean of both, each by its pixels.
fn joined(garment: &Cluster, shade: &Cluster) -> Cluster {
    let own = garment.colour;
    // White stays white whatever shade lies on it.
    let other = if is_white(own) { own } else { shade.colour };
    let both = [(own, garment.pixels as f64), (other, shade.pixels as f64)];
    Cluster {
        colour: Lab::mean(both).unwrap_or(own),
        pixels: garment.pixels + shade.pixels,
        spread: garment.spread.max(shade.spread),
        possible: garment.possible.clone(),
    }
}

/// Edges between each two labels: side to side, and over one another.
struct Edges {
    beside: Array2<f64>,
    over: Array2<f64>,
    area: Vec<f64>,
}

impl Edges {
    fn of(labels: &Labels) -> Self {
        let count = labels.clusters.len() + 1;
        let mut edges = Self {
            beside: Array2::zeros((count, count)),
            over: Array2::zeros((count, count)),
            area: vec![0.0; count],
        };
        let (rows, columns) = labels.plane.dim();
        for ((y, x), &label) in labels.plane.indexed_iter() {
            let one = usize::from(label);
            edges.area[one] += 1.0;
            let meet = |edges: &mut Array2<f64>, other: u8| {
                let other = usize::from(other);
                if other != one {
                    edges[(one, other)] += 1.0;
                    edges[(other, one)] += 1.0;
                }
            };
            if x + 1 < columns {
                meet(&mut edges.beside, labels.plane[(y, x + 1)]);
            }
            if y + 1 < rows {
                meet(&mut edges.over, labels.plane[(y + 1, x)]);
            }
        }
        edges
    }

    fn all(&self, label: usize) -> f64 {
        self.beside.row(label).sum() + self.over.row(label).sum()
    }

    fn within_figure(&self, label: usize) -> f64 {
        let all = |edges: &Array2<f64>| edges.row(label).iter().skip(usize::from(GROUND) + 1).sum::<f64>();
        all(&self.beside) + all(&self.over)
    }
}

/// The smallest colour that is another's shade, and that other.
fn find_shade(labels: &Labels) -> Option<(usize, usize)> {
    let edges = Edges::of(labels);
    let mut order: Vec<usize> = (1..=labels.clusters.len()).filter(|&l| edges.area[l] >= FEW).collect();
    order.sort_by(|&a, &b| edges.area[a].total_cmp(&edges.area[b]).then(a.cmp(&b)));
    order.iter().find_map(|&shade| {
        let whole = edges.within_figure(shade);
        let touching = |garment: usize| edges.beside[(shade, garment)] + edges.over[(shade, garment)];
        let is_its_garment = |garment: usize| {
            let both = touching(garment);
            garment != shade
                && edges.area[garment] >= edges.area[shade]
                && both > 0.0
                && both >= TOUCHES * whole
                && both >= ALONG * edges.all(shade)
                && (edges.beside[(shade, garment)] >= BESIDE * both
                    || both >= INTERLEAVED * edges.area[shade].sqrt())
                && is_one_material(labels.clusters[shade - 1].colour, labels.clusters[garment - 1].colour)
        };
        let garments = order.iter().copied().filter(|&g| is_its_garment(g));
        let garment = garments.max_by(|&a, &b| touching(a).total_cmp(&touching(b)).then(b.cmp(&a)))?;
        Some((shade, garment))
    })
}

fn is_white(colour: Lab) -> bool {
    colour.l > WHITE.0 && colour.chroma() < WHITE.1
}

/// Whether two colours can be one material in light and shade.
fn is_one_material(one: Lab, other: Lab) -> bool {
    let (light, dark) = if one.l >= other.l { (one, other) } else { (other, one) };
    if is_white(light) && dark.chroma() < WHITE_SHADE && light.l - dark.l < DARKER {
        return true;
    }
    let near = if light.chroma().min(dark.chroma()) > HAS_HUE {
        let apart = (light.hue() - dark.hue()).rem_euclid(360.0);
        apart.min(360.0 - apart) < HUE
    } else {
        (light.a - dark.a).hypot(light.b - dark.b) < GREY
    };
    let keeps = dark.chroma() >= KEEPS * light.chroma() * dark.l / light.l.max(1.0);
    near && keeps && light.l - dark.l < DARKER && dark.chroma() <= CHROMA.0 * light.chroma() + CHROMA.1
}
