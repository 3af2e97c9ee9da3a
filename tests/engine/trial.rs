//! Trials: drawings that repeat, scores that mean what they say, and a calibration that can be fitted again.

use smallcast::grid::Grid;
use smallcast::matching::{Calibration, EVIDENCE, EVIDENCE_NAMES, Evidence, Lesson};
use smallcast::score::{Judged, KnownFigure, Plain, calibration_error, caught_early, ranking, score};
use smallcast::tray::{BeadId, Tray};
use smallcast::trial::{
    FITTED_SEEDS, KEPT_FIGURES, KEPT_MANNERS, KEPT_SKETCHES, Manner, Trial, fitted_tray, fitted_trials,
    is_fitted_sketch, known_figures, lessons, sketches, weighed,
};
use smallcast::units::{Column, Row};

fn figures() -> (Tray, Vec<KnownFigure>) {
    let tray = Tray::embedded();
    let figures = known_figures(&tray).expect("the known figures fit the embedded tray");
    (tray, figures)
}

fn named<'a>(figures: &'a [KnownFigure], name: &str) -> &'a KnownFigure {
    figures.iter().find(|figure| figure.name == name).expect("a known figure of that name")
}

#[test]
fn two_dozen_figures_of_every_size_are_known() {
    let (_, figures) = figures();
    assert!(figures.len() >= 20);
    let rows: Vec<usize> = figures.iter().map(KnownFigure::rows).collect();
    assert!(rows.iter().min() <= Some(&12) && rows.iter().max() >= Some(&27), "{rows:?}");
    for figure in &figures {
        let zones = figure.zones.expect("each says its zones");
        assert_eq!(zones.total(), figure.rows(), "{}", figure.name);
    }
}

#[test]
fn a_drawing_follows_from_figure_manner_and_seed() {
    let (tray, figures) = figures();
    let figure = named(&figures, "nightgown-toddler");
    for manner in [Manner::Shapes, Manner::Untidy, Manner::CutOut, Manner::Small, Manner::Page] {
        let draw = |seed| Trial { figure, manner, seed }.drawing(&tray);
        assert_eq!(draw(5).pixels, draw(5).pixels, "{}", manner.name());
        assert_ne!(draw(5).pixels, draw(6).pixels, "{}", manner.name());
    }
}

#[test]
fn a_photograph_has_twelve_megapixels() {
    let (tray, figures) = figures();
    let trial = Trial { figure: named(&figures, "ball-toddler"), manner: Manner::Photo, seed: 0 };
    let (width, height) = trial.drawing(&tray).pixels.dimensions();
    assert_eq!((width, height), (3000, 4000));
}

fn sure(beads: &Grid<Option<BeadId>>) -> Grid<Option<(BeadId, f64)>> {
    beads.map(|_, _, bead| bead.map(|bead| (bead, 1.0)))
}

#[test]
fn a_score_counts_the_beads_a_maker_would_touch() {
    let (tray, figures) = figures();
    let truth = &named(&figures, "ferry-pilot").beads;
    let whole = score(truth, &sure(truth), &tray);
    assert_eq!((whole.mend, whole.right, whole.overlap, whole.difference), (0, 1.0, 1.0, 0.0));

    let (row, column, _) = truth.iter().find(|(_, _, bead)| bead.is_some()).unwrap();
    let mut missing = sure(truth);
    missing[(row, column)] = None;
    assert_eq!(score(truth, &missing, &tray).mend, 1);
    let mut swapped = sure(truth);
    let other = tray.iter().map(|(id, _)| id).find(|id| Some(*id) != truth[(row, column)]).unwrap();
    swapped[(row, column)] = Some((other, 1.0));
    let swapped = score(truth, &swapped, &tray);
    assert_eq!((swapped.mend, swapped.overlap), (1, 1.0));
    assert_eq!(swapped.beads.iter().filter(|bead| !bead.right).count(), 1);

    // A bead aside it is the same figure.
    let aside = Grid::from_fn(truth.rows() + 1, truth.columns() + 2, |r, c| {
        let from = (r.0.checked_sub(1).map(Row), c.0.checked_sub(2).map(Column));
        let (Some(r), Some(c)) = from else { return None };
        truth.get(r, c).copied().flatten().map(|bead| (bead, 1.0))
    });
    assert_eq!(score(truth, &aside, &tray).mend, 0);
    let empty = Grid::from_fn(0, 0, |_, _| None);
    let beads = truth.iter().filter(|(_, _, bead)| bead.is_some()).count();
    assert_eq!(score(truth, &empty, &tray).mend, beads);
}

fn judged(confidences: &[f64], right: &[bool]) -> Vec<Judged> {
    let at = (Row(0), Column(0));
    confidences.iter().zip(right).map(|(&confidence, &right)| Judged { confidence, right, at }).collect()
}

/// The example of scikit-learn's documentation of `roc_auc_score` (from memory): scores 0.1, 0.4, 0.35, 0.8
/// for labels 0, 0, 1, 1 give 0.75.
#[test]
fn ranking_agrees_with_an_example_of_a_reference_library() {
    let beads = judged(&[0.1, 0.4, 0.35, 0.8], &[false, false, true, true]);
    assert_eq!(ranking(&beads), Some(0.75));
    assert_eq!(ranking(&judged(&[0.5, 0.9], &[true, true])), None);
}

/// By the definition of Guo et al. 2017: bins of equal width, |mean confidence - share right| weighted by count.
#[test]
fn calibration_error_is_what_its_definition_says() {
    let beads = judged(&[0.95, 0.95, 0.95, 0.95, 0.15], &[true, true, true, false, false]);
    let expected = (4.0 * (0.95 - 0.75_f64).abs() + 0.15) / 5.0;
    assert!((calibration_error(&beads).unwrap() - expected).abs() < 1e-12);
    assert_eq!(calibration_error(&[]), None);
    let mut early = judged(&[0.9; 8], &[true; 8]);
    early.extend(judged(&[0.2, 0.95], &[false, false]));
    assert_eq!(caught_early(&early), Some(0.5));
}

#[test]
fn what_is_kept_apart_is_never_fitted() {
    let (_, figures) = figures();
    let fitted = fitted_trials(&figures);
    for name in KEPT_FIGURES {
        named(&figures, name);
        assert!(fitted.iter().all(|trial| trial.figure.name != name));
    }
    assert!(fitted.iter().all(|trial| !KEPT_MANNERS.contains(&trial.manner)));
    assert!(fitted.iter().all(|trial| trial.manner != Manner::Page && trial.seed >= FITTED_SEEDS.start));
    assert!(KEPT_MANNERS.contains(&Manner::TableSheet));
    let (tray, dense) = (Tray::embedded(), fitted_tray(FITTED_SEEDS.end - 1));
    assert!(dense.len() > tray.len());
    for (id, bead) in tray.iter() {
        let fitted = dense.bead(id);
        assert_eq!(fitted.name, bead.name, "beads keep their places");
        assert!(fitted.lab.distance_squared(bead.lab) <= 36.1, "{} strays too far", bead.name);
    }
}

#[test]
fn a_fit_finds_what_decides_and_can_be_read_again() {
    // Only the first piece of evidence decides; the others are a repeating pattern.
    let beads: Vec<Lesson> = (0..2000_u32)
        .map(|i| {
            let of = |k: usize| f64::from((i * (7 + k as u32 * 11)) % 97) / 97.0;
            let evidence = Evidence(std::array::from_fn::<f64, EVIDENCE, _>(of));
            let kept = f64::from(u8::from(evidence.0[0] > 0.3 + 0.2 * f64::from(i % 2)));
            Lesson { evidence, kept, weight: 1.0 }
        })
        .collect();
    let calibration = Calibration::fit(&beads).expect("enough beads");
    let with = |share: f64| {
        let mut evidence = beads[0].evidence;
        evidence.0[0] = share;
        calibration.confidence(&evidence).get()
    };
    assert!(with(0.05) < 0.2 && with(0.95) > 0.8, "{} {}", with(0.05), with(0.95));
    let again = Calibration::parse(&calibration.to_csv()).expect("what was written is read");
    let apart = beads
        .iter()
        .map(|b| (again.confidence(&b.evidence).get() - calibration.confidence(&b.evidence).get()).abs());
    assert!(apart.fold(0.0, f64::max) < 1e-4);
    assert_eq!(Calibration::fit(&[]), None);
    assert_eq!(Calibration::parse("evidence,weight\nstart,abc,0\n"), None);
    assert_eq!(Calibration::parse(&Calibration::shipped().to_csv()).as_ref(), Some(Calibration::shipped()));
}

/// Not how good drafts are (`smallcast measure` says that), but that no manner has been lost altogether: our
/// draft leaves less to mend than either plain method.
#[test]
fn drafts_beat_plain_methods_in_every_hard_manner() {
    let (tray, figures) = figures();
    // One drawing by an untidy hand may fall into a plain grid by chance, two hardly.
    let figures = ["duckling-girl", "butcher"].map(|name| named(&figures, name));
    for manner in [Manner::Marker, Manner::Untidy, Manner::Crayon, Manner::Shade, Manner::Page] {
        let (mut ours, mut theirs) = (0, [0, 0]);
        for figure in figures {
            let trial = Trial { figure, manner, seed: 3 };
            let drawing = trial.drawing(&tray);
            ours += trial.score(trial.draft(&drawing, &tray).ok().as_ref(), &tray).mend;
            for (sum, plain) in theirs.iter_mut().zip([Plain::BoxAverage, Plain::Majority]) {
                *sum += trial.score_plain(plain, &drawing, &tray).mend;
            }
        }
        assert!(theirs.iter().all(|plain| ours < *plain), "{}: {ours}, plainly {theirs:?}", manner.name());
    }
}

/// Beads that hang together side to side, from the first on.
fn joined(beads: &Grid<Option<BeadId>>) -> usize {
    let first = beads.iter().find(|(_, _, bead)| bead.is_some()).map(|(row, column, _)| (row, column));
    let mut seen: Vec<(Row, Column)> = first.into_iter().collect();
    let mut next = 0;
    while let Some(&(row, column)) = seen.get(next) {
        next += 1;
        for (row, column, bead) in beads.beside(row, column) {
            if bead.is_some() && !seen.contains(&(row, column)) {
                seen.push((row, column));
            }
        }
    }
    seen.len()
}

#[test]
fn every_sketch_opens_and_has_two_designs_that_hold_together() {
    let tray = Tray::embedded();
    let all = sketches(&tray).expect("the designs fit the embedded tray");
    assert!(all.len() >= 8);
    for sketch in &all {
        let picture = sketch.picture().expect("each opens");
        assert!(picture.warnings.is_empty() && picture.size().1 >= 700, "{}", sketch.name);
        for design in &sketch.designs {
            let beads = design.beads.iter().filter(|(_, _, bead)| bead.is_some()).count();
            assert_eq!(joined(&design.beads), beads, "{} falls apart", sketch.name);
            let zones = design.zones.expect("each says its zones");
            assert_eq!(zones.total(), design.rows(), "{}", sketch.name);
            // A raised prop may add rows, nothing takes one away.
            assert!(design.rows() >= sketch.zones.total(), "{}", sketch.name);
        }
        let apart = sketch.apart(&tray);
        assert!(apart > 0, "the two designs of {} are one", sketch.name);
    }
}

#[test]
fn a_design_laid_aside_is_still_the_design() {
    let tray = Tray::embedded();
    for sketch in sketches(&tray).unwrap() {
        let [one, other] = &sketch.designs;
        let far = score(&one.beads, &sure(&other.beads), &tray).mend;
        assert!(sketch.apart(&tray) <= far, "{}: more shifts never find less", sketch.name);
    }
}

#[test]
fn the_kept_sketches_are_never_fitted_and_the_others_weigh_as_one_manner() {
    let all = sketches(&Tray::embedded()).unwrap();
    for name in KEPT_SKETCHES {
        let kept = all.iter().find(|sketch| sketch.name == name).expect("a sketch of that name");
        assert!(!is_fitted_sketch(kept));
    }
    assert_eq!(all.iter().filter(|sketch| is_fitted_sketch(sketch)).count(), all.len() - KEPT_SKETCHES.len());
    let lesson = Lesson { evidence: Evidence([0.0; EVIDENCE]), kept: 0.5, weight: 1.0 };
    let both = weighed(vec![lesson; 800], vec![lesson; 25]);
    let weight: f64 = both[800..].iter().map(|lesson| lesson.weight).sum();
    assert!((weight - 800.0 / 8.0).abs() < 1e-9, "eight manners are fitted: {weight}");
    assert!(both[..800].iter().all(|lesson| lesson.weight == 1.0));
}

#[test]
fn a_bead_of_a_sketch_is_kept_by_as_many_as_designed_it_so() {
    let tray = Tray::embedded();
    let all = sketches(&tray).unwrap();
    let sketch = all.iter().find(|sketch| sketch.name == "harbour-child").expect("a known sketch");
    let draft = sketch.draft(&sketch.picture().unwrap(), &tray).expect("it is drafted");
    let scores = sketch.score(Some(&draft), &tray);
    let learnt = lessons(&draft, &scores);
    assert!(learnt.iter().all(|lesson| [0.0, 0.5, 1.0].contains(&lesson.kept)));
    let right = |at: usize| scores[at].beads.iter().filter(|bead| bead.right).count() as f64;
    let kept: f64 = learnt.iter().map(|lesson| lesson.kept).sum();
    assert!((kept - (right(0) + right(1)) / 2.0).abs() < 1e-9);
}

/// Of beads alike in everything of which half were kept, a fit says one half, whether each bead was half right or
/// every second one wholly; and a bead that stands for two counts as two.
#[test]
fn a_fit_takes_shares_and_weights_for_what_they_say() {
    let lesson = |kept, weight| Lesson { evidence: Evidence([0.5; EVIDENCE]), kept, weight };
    let halves = Calibration::fit(&vec![lesson(0.5, 1.0); 200]).unwrap();
    let mixed: Vec<Lesson> = (0..200).map(|i| lesson(f64::from(i % 2), 1.0)).collect();
    let of = |calibration: &Calibration| calibration.confidence(&Evidence([0.5; EVIDENCE])).get();
    assert!((of(&halves) - 0.5).abs() < 1e-6 && (of(&Calibration::fit(&mixed).unwrap()) - 0.5).abs() < 1e-6);
    let double: Vec<Lesson> = (0..200).map(|i| lesson(f64::from(i % 2), 1.0 + f64::from(i % 2))).collect();
    let (double, repeated) = (Calibration::fit(&double).unwrap(), {
        let ones = vec![lesson(1.0, 1.0); 200];
        Calibration::fit(&[vec![lesson(0.0, 1.0); 100], ones].concat()).unwrap()
    });
    assert!((of(&double) - of(&repeated)).abs() < 1e-6);
}

/// What a lattice tells of a bead and what the body plan tells are never told of one bead.
#[test]
fn a_bead_is_known_by_its_lattice_or_by_the_plan() {
    let (tray, figures) = figures();
    let named = |name: &str| EVIDENCE_NAMES.iter().position(|known| *known == name).expect("so called");
    let (plan, share, of_sketch) = (
        named("brought to the plan"),
        named("winner's share of the window"),
        named("winner's share on the plan"),
    );
    let sketch = &sketches(&tray).unwrap()[0];
    let draft = sketch.draft(&sketch.picture().unwrap(), &tray).expect("it is drafted");
    let sketched = lessons(&draft, &sketch.score(Some(&draft), &tray));
    assert!(draft.samples.is_on_plan() && !sketched.is_empty());
    // A sign or an eye set as a whole bead may have no share of its window.
    assert!(sketched.iter().filter(|lesson| lesson.evidence.0[of_sketch] > 0.0).count() > sketched.len() / 2);
    for Lesson { evidence: Evidence(known), .. } in sketched {
        assert!(known[plan] == 1.0 && known[share] == 0.0);
        assert!(known[..plan].iter().all(|known| *known == 0.0));
    }
    let trial = Trial { figure: self::named(&figures, "ball-toddler"), manner: Manner::Shapes, seed: 0 };
    let draft = trial.draft(&trial.drawing(&tray), &tray).expect("it is drafted");
    let drawn = lessons(&draft, &[trial.score(Some(&draft), &tray)]);
    assert!(!draft.samples.is_on_plan() && !drawn.is_empty());
    for Lesson { evidence: Evidence(known), .. } in drawn {
        assert!(known[share] > 0.0 && known[plan..].iter().all(|known| *known == 0.0));
    }
}

/// Sketches of which one bead in five is right teach nothing of drawings of which nine in ten are.
#[test]
fn what_is_learnt_of_sketches_is_not_said_of_drawings() {
    let first = EVIDENCE_NAMES.iter().position(|known| *known == "brought to the plan").expect("so called");
    let of = |on_plan: bool, share: f64| {
        let at = |i: usize| if (i >= first) == on_plan { share } else { 0.0 };
        let mut evidence = Evidence(std::array::from_fn::<f64, EVIDENCE, _>(at));
        evidence.0[first] = f64::from(u8::from(on_plan));
        evidence
    };
    let lessons = |on_plan: bool, right: u32| {
        (0..2000_u32).map(move |i| Lesson {
            evidence: of(on_plan, 0.5 + f64::from(i % 7) / 20.0),
            kept: f64::from(u8::from(i % 10 < right)),
            weight: 1.0,
        })
    };
    let alone = Calibration::fit(&lessons(false, 9).collect::<Vec<_>>()).unwrap();
    let both = Calibration::fit(&lessons(false, 9).chain(lessons(true, 2)).collect::<Vec<_>>()).unwrap();
    let says = |calibration: &Calibration, on_plan| calibration.confidence(&of(on_plan, 0.65)).get();
    assert!((says(&alone, false) - says(&both, false)).abs() < 0.01);
    assert!((says(&both, false) - 0.9).abs() < 0.03, "{}", says(&both, false));
    assert!((says(&both, true) - 0.2).abs() < 0.03, "{}", says(&both, true));
}
