//! House rules as tests: layering, headers, docs in step, licences.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("checks lies in the root").to_owned()
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn metadata() -> Value {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    // For this machine alone: what only other systems need was never fetched.
    let rustc = Command::new("rustc").arg("-vV").output().expect("rustc runs");
    let version = String::from_utf8_lossy(&rustc.stdout).into_owned();
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("a host");
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--locked", "--offline", "--filter-platform", host])
        .current_dir(root())
        .output()
        .expect("cargo runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("cargo metadata is JSON")
}

fn array<'a>(value: &'a Value, name: &str) -> &'a [Value] {
    value[name].as_array().map_or(&[], Vec::as_slice)
}

fn string<'a>(value: &'a Value, name: &str) -> &'a str {
    value[name].as_str().unwrap_or_default()
}

/// The crates that only test: they may use everything, and nothing uses them.
const TEST_CRATES: [&str; 2] = ["checks", "browser-tests"];

/// A package of the workspace: what it depends on, other than for its tests.
struct Package {
    name: String,
    uses: BTreeSet<String>,
    uses_in_tests: BTreeSet<String>,
}

fn packages() -> Vec<Package> {
    let metadata = metadata();
    let members: Vec<&str> = array(&metadata, "workspace_members").iter().filter_map(Value::as_str).collect();
    let own = array(&metadata, "packages").iter().filter(|package| members.contains(&string(package, "id")));
    own.map(|package| {
        let (mut uses, mut uses_in_tests) = (BTreeSet::new(), BTreeSet::new());
        for dependency in array(package, "dependencies") {
            let list = if dependency["kind"] == "dev" { &mut uses_in_tests } else { &mut uses };
            list.insert(string(dependency, "name").to_owned());
        }
        Package { name: string(package, "name").to_owned(), uses, uses_in_tests }
    })
    .collect()
}

/// The rows of the table in a page whose header begins with that cell; cells without backticks.
fn table(page: &str, first: &str) -> Vec<Vec<String>> {
    let header = format!("| {first} |");
    let rows: Vec<Vec<String>> = page
        .lines()
        .skip_while(|line| !line.starts_with(&header))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().replace('`', "")).collect())
        .collect();
    assert!(!rows.is_empty(), "no table {first:?}");
    rows
}

fn names(cell: &str) -> BTreeSet<String> {
    cell.split(',').map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect()
}

/// Everything that a crate reaches, itself left out.
fn reached(from: &str, edges: &BTreeMap<String, BTreeSet<String>>) -> BTreeSet<String> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from.to_owned()];
    while let Some(name) = open.pop() {
        for next in edges.get(&name).into_iter().flatten() {
            if reached.insert(next.clone()) {
                open.push(next.clone());
            }
        }
    }
    reached
}

/// Source: docs/architecture.md, the table of crates.
#[test]
fn crates_use_only_what_the_architecture_page_says() {
    let packages = packages();
    let edges: BTreeMap<_, _> = packages.iter().map(|p| (p.name.clone(), p.uses.clone())).collect();
    let rows = table(&read("docs/architecture.md"), "crate");
    let listed: BTreeSet<String> = rows.iter().map(|row| row[0].clone()).collect();
    let ours: BTreeSet<String> = packages
        .iter()
        .map(|p| p.name.clone())
        .filter(|name| !TEST_CRATES.contains(&name.as_str()))
        .collect();
    assert_eq!(listed, ours, "the table lists the crates there are");
    for package in packages.iter().filter(|package| ours.contains(&package.name)) {
        let mut used = package.uses.iter().chain(&package.uses_in_tests);
        assert!(!used.any(|name| TEST_CRATES.contains(&name.as_str())), "{} uses a test crate", package.name);
    }
    for row in rows {
        let (name, may, never) = (&row[0], names(&row[1]), names(&row[2]));
        let reached = reached(name, &edges);
        let used: BTreeSet<String> = reached.intersection(&ours).cloned().collect();
        assert!(used.is_subset(&may), "{name} uses {used:?}, the page allows {may:?}");
        // What a crate may reach through others and must never import, it must not use itself.
        let hidden: BTreeSet<String> = never.intersection(&may).cloned().collect();
        let bad: Vec<_> = never.difference(&hidden).filter(|name| reached.contains(*name)).collect();
        assert!(bad.is_empty(), "{name} must never import {bad:?}");
        let bad: Vec<_> = hidden.iter().filter(|hidden| edges[name].contains(*hidden)).collect();
        assert!(bad.is_empty(), "{name} must never import {bad:?} itself");
    }
    // What the table can't say by listing.
    assert!(
        !reached("replay", &edges).contains("planner") && !reached("pattern", &edges).contains("planner")
    );
    for package in packages.iter().filter(|package| ["planner", "replay"].contains(&package.name.as_str())) {
        let other = if package.name == "planner" { "replay" } else { "planner" };
        assert!(!package.uses_in_tests.contains(other), "{} tests itself with {other}", package.name);
    }
}

fn sources(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder").filter_map(Result::ok) {
        let path = entry.path();
        let name = entry.file_name();
        if path.is_dir() && !["target", ".git", "node_modules"].iter().any(|other| name == *other) {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

fn all_sources() -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in ["crates", "checks", "browser-tests"] {
        sources(&root().join(folder), &mut found);
    }
    found.sort();
    assert!(found.len() > 30);
    found
}

#[test]
fn every_module_says_what_it_is_for() {
    for path in all_sources() {
        let text = fs::read_to_string(&path).expect("a source file");
        assert!(text.starts_with("//! "), "{} has no header", path.display());
    }
}

/// Files, environment, clock, network and terminal are for the program alone, but for what a crate is
/// there for.
#[test]
fn only_the_program_touches_the_world() {
    let world = [
        "std::fs",
        "std::env",
        "std::net",
        "std::process",
        "SystemTime",
        "Instant",
        "io::stdin",
        "io::stdout",
        "io::stderr",
        "println!",
    ];
    // The server listens and counts how long work takes; what time it is it never asks.
    let purpose = |name: &str| -> &[&str] {
        match name {
            "server" => &["std::net", "Instant"],
            "store" => &["std::fs"],
            _ => &[],
        }
    };
    for path in all_sources() {
        let inside = path.strip_prefix(root()).expect("in the root").to_string_lossy().into_owned();
        let parts: Vec<&str> = inside.split('/').collect();
        let ["crates", name, "src", ..] = parts[..] else { continue };
        if name == "cli" {
            continue;
        }
        let text = fs::read_to_string(&path).expect("a source file");
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        for line in code.lines().filter(|line| !line.trim_start().starts_with("//")) {
            for word in world.iter().filter(|word| !purpose(name).contains(word)) {
                assert!(!line.contains(word), "{inside}: {line}");
            }
        }
    }
}

#[test]
fn the_replay_can_be_read_in_one_sitting() {
    let mut found = Vec::new();
    sources(&root().join("crates/replay/src"), &mut found);
    let code = |path: &PathBuf| {
        let text = fs::read_to_string(path).expect("a source file");
        let is_code = |line: &&str| !line.trim().is_empty() && !line.trim_start().starts_with("//");
        text.lines().filter(is_code).count()
    };
    let lines: usize = found.iter().map(code).sum();
    assert!(lines < 600, "{lines} lines");
}

#[test]
fn every_dependency_has_its_reason() {
    let packages = packages();
    let ours: BTreeSet<&str> = packages.iter().map(|package| package.name.as_str()).collect();
    let used: BTreeSet<String> = packages
        .iter()
        .flat_map(|package| package.uses.iter().chain(&package.uses_in_tests))
        .filter(|name| !ours.contains(name.as_str()))
        .cloned()
        .collect();
    let listed: BTreeSet<String> =
        table(&read("docs/dependencies.md"), "crate").iter().flat_map(|row| names(&row[0])).collect();
    assert_eq!(used, listed);
}

/// The licences that `deny.toml` allows are the only ones in the tree.
#[test]
fn licences_are_permissive() {
    let deny = read("deny.toml");
    let allowed: BTreeSet<&str> = deny
        .lines()
        .skip_while(|line| !line.starts_with("allow = ["))
        .skip(1)
        .take_while(|line| !line.starts_with(']'))
        .map(|line| line.trim().trim_matches([',', '"']))
        .collect();
    let metadata = metadata();
    for package in array(&metadata, "packages") {
        // Of alternatives one must do; of a conjunction all.
        let licence = string(package, "license").replace(['(', ')'], "").replace('/', " OR ");
        let fits =
            licence.split(" AND ").all(|part| part.split(" OR ").any(|name| allowed.contains(name.trim())));
        assert!(fits, "{}: {licence:?}", string(package, "name"));
    }
}

/// The links between pages lead somewhere.
#[test]
fn pages_link_to_pages_that_exist() {
    for page in [
        "README.md",
        "docs/architecture.md",
        "docs/formats.md",
        "docs/strand-model.md",
        "docs/reading-rows.md",
        "docs/http.md",
    ] {
        let text = read(page);
        for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let target = link.split('#').next().unwrap_or_default();
            if target.is_empty() || target.starts_with("http") {
                continue;
            }
            let path = root().join(page).parent().expect("a folder").join(target);
            assert!(path.exists(), "{page} links to {target}");
        }
    }
}

/// Flags that the program knows stand in its help, and the README's command is one of them.
#[test]
fn the_readme_opens_with_the_job_and_the_two_commands() {
    let readme = read("README.md");
    let first = readme.lines().filter(|line| !line.is_empty()).nth(1).expect("a paragraph");
    assert!(first.contains("crochet") && first.len() > 300, "the job comes first");
    let commands: Vec<&str> = readme.split("```\n").skip(1).step_by(2).take(2).map(str::trim).collect();
    assert_eq!(
        commands,
        [
            "cargo run --release -- make demo/picture.png --yarns demo/yarns.toml --width 110cm --colours 7 --out blanket",
            "./check"
        ]
    );
}
