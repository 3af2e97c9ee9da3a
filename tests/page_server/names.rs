//! No name leaves the folder.

use hyper::StatusCode;
use serde_json::json;

use crate::visitor::{ANNA, House};

/// Beside the maker's folder lies what is nobody's business.
fn house_with_a_neighbour() -> (House, tempfile::TempDir) {
    let above = tempfile::tempdir().unwrap();
    std::fs::write(above.path().join("secret.figure.toml"), ANNA).unwrap();
    std::fs::write(above.path().join("secret.png"), b"no picture").unwrap();
    let house = House::with(
        &[("anna.figure.toml", ANNA), ("notes.toml", "private = true"), ("anna.png", "no picture")],
        "anna.figure.toml",
    );
    (house, above)
}

fn is_refused(status: StatusCode) -> bool {
    matches!(status, StatusCode::FORBIDDEN | StatusCode::NOT_FOUND | StatusCode::BAD_REQUEST)
}

#[test]
fn names_that_lead_out_or_to_other_files_are_refused_wherever_they_are_taken() {
    let (house, above) = house_with_a_neighbour();
    let secret = above.path().join("secret.figure.toml");
    let up = format!("../{}/secret.figure.toml", above.path().file_name().unwrap().to_str().unwrap());
    let mut names = vec![
        up.clone(),
        format!("./{up}"),
        secret.to_str().unwrap().to_owned(),
        format!("/{}", secret.display()),
        "../secret.figure.toml".into(),
        "./anna.figure.toml".into(),
        "sub/../anna.figure.toml".into(),
        "..\\secret.figure.toml".into(),
        "anna.figure.toml\0".into(),
        "anna.figure.toml/".into(),
        "notes.toml".into(),
        "anna.png".into(),
        ".".into(),
        "..".into(),
        "/".into(),
        String::new(),
        "a".repeat(5000) + ".figure.toml",
        "/etc/passwd".into(),
    ];
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&secret, house.path("link.figure.toml")).unwrap();
        std::os::unix::fs::symlink(above.path(), house.path("door")).unwrap();
        std::os::unix::fs::symlink(house.path("notes.toml"), house.path("dressed.figure.toml")).unwrap();
        names
            .extend(["link.figure.toml", "door/secret.figure.toml", "dressed.figure.toml"].map(String::from));
    }
    for name in &names {
        let typed: String = name.bytes().map(|byte| format!("%{byte:02x}")).collect();
        for path in ["figure", "version", "reference", "parts", "picture"] {
            let told = house.get(&format!("/api/{path}?file={typed}"));
            assert!(is_refused(told.status), "{path} {name}: {} {}", told.status, told.text());
        }
        for path in ["edit", "undo", "redo", "answer", "sheet", "show"] {
            let body = json!({"file": name, "version": "x", "do": "name Berta", "take": "disk"});
            let told = house.post(&format!("/api/{path}"), &body);
            assert!(is_refused(told.status), "{path} {name}: {} {}", told.status, told.text());
        }
        let version = house.table("anna.figure.toml")["version"].clone();
        let line = format!("take body from \"{name}\" as stolen");
        let told = house.edit(version.as_str().unwrap(), &line);
        assert!(told.status.is_client_error(), "{name}: {}", told.text());
    }
    assert_eq!(std::fs::read_to_string(secret).unwrap(), ANNA);
    assert_eq!(house.text("anna.figure.toml"), ANNA);
}

#[cfg(unix)]
#[test]
fn a_link_within_the_folder_is_the_figure_it_leads_to_and_a_pipe_keeps_nobody_waiting() {
    let house = House::of_anna();
    std::os::unix::fs::symlink("anna.figure.toml", house.path("other.figure.toml")).unwrap();
    assert_eq!(house.table("other.figure.toml")["name"], "Anna");
    let made = std::process::Command::new("mkfifo").arg(house.path("pipe.figure.toml")).status().unwrap();
    assert!(made.success());
    let told = house.get("/api/figure?file=pipe.figure.toml");
    assert_eq!(told.status, StatusCode::NOT_FOUND);
}

/// Anna, drafted from a picture.
fn anna_of(picture: &str) -> String {
    ANNA.replace("name = \"Anna\"", &format!("name = \"Anna\"\nreference = {{ picture = {picture:?} }}"))
}

/// A red square on white.
fn picture() -> image::RgbaImage {
    image::RgbaImage::from_fn(60, 80, |x, y| {
        let is_square = (15..45).contains(&x) && (15..65).contains(&y);
        image::Rgba(if is_square { [200, 20, 20, 255] } else { [255, 255, 255, 255] })
    })
}

/// The figure is in the maker's hand: the picture it names is read wherever it lies, and no other name leads there.
#[test]
fn the_picture_a_figure_names_is_shown_wherever_it_lies() {
    let above = tempfile::tempdir().unwrap();
    let outside = above.path().join("anna.png");
    picture().save(&outside).unwrap();
    let up = format!("../{}/anna.png", above.path().file_name().unwrap().to_str().unwrap());
    for name in [outside.to_str().unwrap(), up.as_str()] {
        let house = House::with(&[("anna.figure.toml", &anna_of(name))], "anna.figure.toml");
        assert!(house.table("anna.figure.toml")["reference"].is_object(), "{name}");
        let shown = house.get("/api/reference?file=anna.figure.toml");
        assert_eq!(shown.status, StatusCode::OK, "{name}: {}", shown.text());
        assert_eq!(image::load_from_memory(&shown.body).unwrap().to_rgba8(), picture());
        let typed: String = name.bytes().map(|byte| format!("%{byte:02x}")).collect();
        assert!(is_refused(house.get(&format!("/api/picture?file={typed}")).status), "{name}");
    }
}

#[test]
fn a_picture_that_is_lost_is_said_and_another_of_the_folder_is_given() {
    for name in ["missing.png", "../elsewhere/anna.png", "anna.figure.toml"] {
        let house = House::with(&[("anna.figure.toml", &anna_of(name))], "anna.figure.toml");
        picture().save(house.path("found.png")).unwrap();
        let table = house.table("anna.figure.toml");
        assert!(table["reference"].is_null(), "{name}: {}", table["reference"]);
        let note = table["reference_note"].as_str().unwrap();
        assert!(note.contains(name) && note.contains("sought"), "{note}");
        assert_eq!(house.get("/api/reference?file=anna.figure.toml").status, StatusCode::NOT_FOUND);
        assert_eq!(table["pictures"], json!(["found.png"]));
        let version = |table: &serde_json::Value| table["version"].as_str().unwrap().to_owned();
        // Beads are laid all the same.
        let table = house.edit(&version(&table), "place 1,1 bone").json();
        for wrong in ["/etc/passwd", "../found.png", "anna.figure.toml", "none.png"] {
            let told = house.edit(&version(&table), &format!("reference \"{wrong}\""));
            assert!(is_refused(told.status), "{wrong}: {} {}", told.status, told.text());
        }
        let given = house.edit(&version(&table), "reference found.png").json();
        assert_eq!(given["undo"], "reference found.png");
        assert_eq!((&given["reference_note"], &given["pictures"]), (&serde_json::Value::Null, &json!([])));
        assert_eq!(house.get("/api/reference?file=anna.figure.toml").status, StatusCode::OK);
        assert!(house.text("anna.figure.toml").contains("picture = \"found.png\""));
        let body = json!({"file": "anna.figure.toml", "version": version(&given)});
        assert!(house.post("/api/undo", &body).json()["reference"].is_null());
        assert!(house.text("anna.figure.toml").contains(name));
    }
}

#[test]
fn messages_tell_names_and_not_where_the_folder_lies() {
    let house = House::with(
        &[("anna.figure.toml", ANNA), ("broken.figure.toml", "format = 1\nx")],
        "anna.figure.toml",
    );
    let folder = house.folder.path().canonicalize().unwrap().display().to_string();
    let told = house.get("/api/figure?file=broken.figure.toml");
    assert_eq!(told.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        told.text().contains("broken.figure.toml, line 2") || told.text().contains("line 2"),
        "{}",
        told.text()
    );
    assert!(!told.text().contains(&folder), "{}", told.text());
    for path in
        ["/api/start", "/api/shelf", "/api/figure?file=anna.figure.toml", "/api/figure?file=no.figure.toml"]
    {
        assert!(!house.get(path).text().contains(&folder), "{path}");
    }
}

/// A figure whose file was named otherwise by hand is opened too, and that name alone.
#[test]
fn a_figure_that_was_named_may_be_called_otherwise() {
    let house = House::with(&[("berta.toml", ANNA), ("other.toml", ANNA)], "berta.toml");
    assert_eq!(house.get("/api/figure?file=berta.toml").status, 200);
    assert_eq!(house.get("/api/figure?file=other.toml").status, 403);
}
