//! What `smallcast count --json` prints. Money is text, exact to its last digit.

use serde::Serialize;
use smallcast::count::{Counted, Need, Owned};

use super::figures::Opened;

/// The layout of the document; grows when a reader would have to change.
const FORMAT: u32 = 1;

/// The document of a count.
#[derive(Serialize)]
pub struct Document {
    format: u32,
    tray: String,
    spare: String,
    used: u64,
    needed: u64,
    figures: Vec<FigureJson>,
    beads: Vec<BeadJson>,
    costs: Vec<MoneyJson>,
    without_cost: usize,
    order: OrderJson,
}

#[derive(Serialize)]
struct FigureJson {
    file: String,
    name: String,
    times: u32,
    beads: u64,
    each: Vec<EachJson>,
}

#[derive(Serialize)]
struct EachJson {
    bead: String,
    count: u64,
}

#[derive(Serialize)]
struct BeadJson {
    bead: String,
    used: u64,
    needed: u64,
    in_tray: bool,
    /// Null where nobody said.
    owned: Option<u32>,
    /// Null where nobody said how many are owned.
    short: Option<u64>,
    packs: Option<u64>,
    cost: Option<MoneyJson>,
}

#[derive(Serialize)]
struct MoneyJson {
    amount: String,
    currency: String,
}

#[derive(Serialize)]
struct OrderJson {
    /// Figures by their place in `figures`, counted from 0.
    made: Vec<usize>,
    at_most: usize,
    exact: bool,
    waiting: Vec<WaitingJson>,
}

#[derive(Serialize)]
struct WaitingJson {
    figure: usize,
    times: u32,
    alone: bool,
    lacks: Vec<EachJson>,
}

/// The document for counted figures.
pub fn document(opened: &[Opened], counted: &Counted, tray: String) -> Document {
    let (costs, without_cost) = counted.costs();
    let order = counted.order();
    let waiting = order.waiting.iter().map(|waits| WaitingJson {
        figure: waits.figure,
        times: waits.times,
        alone: waits.alone,
        lacks: waits.lacks.iter().map(|&(at, count)| each(&counted.needs[at], count)).collect(),
    });
    Document {
        format: FORMAT,
        tray,
        spare: counted.spare.to_string(),
        used: counted.used(),
        needed: counted.needed(),
        figures: opened.iter().enumerate().map(|(at, opened)| figure(opened, at, counted)).collect(),
        beads: counted.needs.iter().map(bead).collect(),
        costs: costs.iter().map(money).collect(),
        without_cost,
        order: OrderJson {
            waiting: waiting.collect(),
            at_most: order.at_most,
            exact: order.is_exact(),
            made: order.made,
        },
    }
}

fn figure(opened: &Opened, at: usize, counted: &Counted) -> FigureJson {
    let used = counted.needs.iter().filter(|need| need.each[at] > 0);
    FigureJson {
        file: opened.file.display().to_string(),
        name: opened.figure.name().into(),
        times: counted.times[at],
        beads: counted.beads_of(at),
        each: used.map(|need| each(need, need.each[at])).collect(),
    }
}

fn each(need: &Need, count: u64) -> EachJson {
    EachJson { bead: need.bead.clone(), count }
}

fn bead(need: &Need) -> BeadJson {
    let buy = need.to_buy();
    BeadJson {
        bead: need.bead.clone(),
        used: need.used,
        needed: need.needed,
        in_tray: need.owned != Owned::NotInTray,
        owned: need.owned_if_told(),
        short: need.short_if_told(),
        packs: buy.as_ref().and_then(|buy| buy.packs),
        cost: buy.and_then(|buy| buy.cost).as_ref().map(money),
    }
}

fn money(price: &smallcast::tray::Price) -> MoneyJson {
    MoneyJson { amount: price.number(), currency: price.currency().into() }
}
