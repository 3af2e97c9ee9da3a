use smallcast::figure::Figure;
use smallcast::tray::Tray;
use smallcast::trial::{KnownFigure, Manner, Trial};
use std::fmt::Write as _;
use std::path::Path;

#[test]
fn dump() {
    let tray = Tray::embedded();
    let mut files: Vec<_> = std::fs::read_dir("fixtures/pairs").unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    for file in files.iter().filter(|f| f.to_string_lossy().ends_with(".new.figure.toml")) {
        let figure = Figure::open(Path::new(file)).unwrap();
        let name = file.file_name().unwrap().to_string_lossy().replace(".new.figure.toml", "");
        let known = KnownFigure::of(&name, &figure, &tray).unwrap();
        for (seed, manner) in
            [Manner::Marker, Manner::Untidy, Manner::Natural, Manner::Shapes].into_iter().enumerate()
        {
            let start = std::time::Instant::now();
            let trial = Trial { figure: &known, manner, seed: seed as u64 };
            let drawing = trial.drawing(&tray);
            let mid = start.elapsed();
            let zones = known.zones.unwrap();
            let rows = smallcast::plan::Zone::ALL
                .map(|z| if z == smallcast::plan::Zone::Headwear { 0 } else { zones.get(z) });
            let size = smallcast::draft::Size::Zones(smallcast::plan::ZoneRows::new(rows).unwrap());
            let options = smallcast::draft::DraftOptions { size, ..Default::default() };
            let draft = match trial.draft_with(&drawing, &options, &tray) {
                Ok(d) => d,
                Err(e) => {
                    eprintln!("{name} {}: {e}", manner.name());
                    continue;
                }
            };
            eprintln!("{name} {} {:?} {:?}", manner.name(), mid, start.elapsed());
            let mut out = String::new();
            let _ = writeln!(out, "{:?}", draft.zones.map(|z| z.to_string()));
            let beads = draft.matched.beads();
            for r in 0..beads.rows() {
                let row: Vec<String> = (0..beads.columns())
                    .map(|c| {
                        beads[(smallcast::units::Row(r), smallcast::units::Column(c))]
                            .as_ref()
                            .map_or(".".into(), |b| tray.bead(b.bead).name.clone())
                    })
                    .collect();
                let _ = writeln!(out, "{}", row.join(" "));
            }
            std::fs::write(format!("/tmp/w/reuse-scratch/drafts/{name}.{}.txt", manner.name()), out).unwrap();
        }
    }
}
