//! The packages smallcast is built from: their licences, held against `deny.toml`, and the compilers they ask for.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use serde_json::Value;

#[path = "left_out/mod.rs"]
mod left_out;

/// A package as cargo tells of it.
struct Package {
    name: String,
    licence: String,
    rust: Option<String>,
}

/// Every package that a build or test for this machine with all features takes in, our own first; none where cargo
/// cannot tell without the network.
fn packages() -> Option<Vec<Package>> {
    let cargo = std::env::var("CARGO").unwrap_or("cargo".into());
    let ask = |words: &[&str]| {
        let output =
            Command::new(&cargo).current_dir(env!("CARGO_MANIFEST_DIR")).args(words).output().unwrap();
        output.status.success().then(|| String::from_utf8(output.stdout).unwrap())
    };
    let version = ask(&["-vV"]).expect("cargo tells its version");
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("cargo names its machine");
    let offline = ["--all-features", "--locked", "--offline"];
    let metadata = ["metadata", "--format-version=1", "--filter-platform", host];
    let tree = ["tree", "--edges", "normal,build,dev", "--prefix", "none", "--format", "{p}"];
    let told = ask(&[&metadata[..], &offline].concat()).zip(ask(&[&tree[..], &offline].concat()));
    if told.is_none() {
        left_out::left_out("the packages' own files", "run cargo fetch --locked (once, with the network)");
    }
    let (metadata, tree) = told?;
    Some(taken_in(&serde_json::from_str(&metadata).expect("one JSON document"), &tree))
}

/// What the tree names, as the metadata describe it.
fn taken_in(metadata: &Value, tree: &str) -> Vec<Package> {
    let text = |value: &Value, key: &str| value[key].as_str().map(str::to_owned);
    let described = metadata["packages"].as_array().unwrap();
    let (mut seen, mut found) = (BTreeSet::new(), Vec::new());
    for line in tree.lines() {
        let mut words = line.split_whitespace();
        let (Some(name), Some(version)) = (words.next(), words.next()) else { continue };
        let version = version.trim_start_matches('v');
        if seen.insert((name, version)) {
            let is_it = |package: &&Value| package["name"] == name && package["version"] == version;
            let package = described.iter().find(is_it).unwrap_or_else(|| panic!("{line} is not described"));
            let (licence, rust) =
                (text(package, "license").unwrap_or_default(), text(package, "rust_version"));
            found.push(Package { name: name.into(), licence, rust });
        }
    }
    found
}

/// The licences of `deny.toml`.
fn allowed() -> BTreeSet<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("deny.toml");
    let list: toml::Table = std::fs::read_to_string(path).unwrap().parse().unwrap();
    let licences = list["licenses"]["allow"].as_array().unwrap();
    licences.iter().map(|licence| licence.as_str().unwrap().to_owned()).collect()
}

/// Whether an expression of SPDX (its specification 2.3, annex D) is met by these licences: `AND` binds closer than
/// `OR`, and older packages write `/` for `OR`.
fn is_met(expression: &str, allowed: &BTreeSet<String>) -> bool {
    let spaced =
        expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ").replace(" WITH ", "+WITH+");
    let words: Vec<&str> = spaced.split_whitespace().collect();
    let mut rest = words.as_slice();
    any(&mut rest, allowed) == Some(true) && rest.is_empty()
}

/// None of what is no expression, here and below.
fn any(rest: &mut &[&str], allowed: &BTreeSet<String>) -> Option<bool> {
    let mut met = all(rest, allowed)?;
    while let Some((&"OR", after)) = rest.split_first() {
        *rest = after;
        met |= all(rest, allowed)?;
    }
    Some(met)
}

fn all(rest: &mut &[&str], allowed: &BTreeSet<String>) -> Option<bool> {
    let mut met = one(rest, allowed)?;
    while let Some((&"AND", after)) = rest.split_first() {
        *rest = after;
        met &= one(rest, allowed)?;
    }
    Some(met)
}

fn one(rest: &mut &[&str], allowed: &BTreeSet<String>) -> Option<bool> {
    let (word, after) = rest.split_first()?;
    *rest = after;
    if *word != "(" {
        return Some(allowed.contains(&word.replace("+WITH+", " WITH ")));
    }
    let met = any(rest, allowed)?;
    let (closing, after) = rest.split_first()?;
    *rest = after;
    (*closing == ")").then_some(met)
}

/// A compiler's version as numbers, of which the third may be left out.
fn version(text: &str) -> [u32; 3] {
    let mut parts = text.split('.').map(|part| part.parse().unwrap());
    [(); 3].map(|()| parts.next().unwrap_or(0))
}

#[test]
fn every_package_is_free_to_pass_on() {
    let (Some(packages), allowed) = (packages(), allowed()) else { return };
    assert!(packages.len() > 100, "only {} packages were told of", packages.len());
    let wrong: Vec<String> = packages
        .iter()
        .filter(|package| !is_met(&package.licence, &allowed))
        .map(|package| format!("{}: {}", package.name, package.licence))
        .collect();
    assert!(wrong.is_empty(), "not in deny.toml:\n{}", wrong.join("\n"));
}

#[test]
fn no_package_asks_for_a_newer_compiler_than_is_said() {
    let Some(packages) = packages() else { return };
    let ours = packages[0].rust.as_deref().map(version).expect("our own rust-version");
    let newer =
        packages.iter().filter(|package| package.rust.as_deref().is_some_and(|rust| version(rust) > ours));
    let newer: Vec<&str> = newer.map(|package| package.name.as_str()).collect();
    assert!(newer.is_empty(), "they ask for more than rust-version: {newer:?}");
}

/// Expressions as they are met in packages; the rules are SPDX's.
#[test]
fn expressions_are_read_as_they_are_meant() {
    let allowed = BTreeSet::from(["MIT", "Zlib", "Apache-2.0 WITH LLVM-exception"].map(str::to_owned));
    for met in ["MIT", "GPL-3.0 OR MIT", "MIT/Apache-2.0", "(GPL-3.0 OR MIT) AND Zlib", "ISC AND X OR MIT"] {
        assert!(is_met(met, &allowed), "{met}");
    }
    assert!(is_met("Apache-2.0 WITH LLVM-exception OR ISC", &allowed));
    for unmet in
        ["", "GPL-3.0", "MIT AND GPL-3.0", "GPL-3.0 OR ISC", "(MIT", "MIT OR", "Apache-2.0", "MIT MIT"]
    {
        assert!(!is_met(unmet, &allowed), "{unmet}");
    }
}
