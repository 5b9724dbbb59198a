//! The shelf as a caller sees it: what is kept, what is refused, and what becomes of damage.
//!
//! All blankets and yarns here are invented.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

use std::fs;
use std::path::Path;

use model::{Chart, Gauge, Palette, Srgb, Yarn};
use store::{
    BlanketId, Change, DATABASE, Fabric, Moment, NEWEST, NewBlanket, NewPicture, Operation, PictureFacts,
    Store, StoreError, Tick, Way,
};

const NOON: Moment = Moment(1_795_608_000_123);

fn fabric(rows: usize, columns: usize, cells: &[u8]) -> Fabric {
    let yarns = vec![Yarn::plain("a", "A", Srgb::new(1, 2, 3)), Yarn::plain("b", "B", Srgb::new(200, 2, 3))];
    let chart = Chart::new(Palette::new(yarns).unwrap(), rows, columns, cells).unwrap();
    Fabric { chart, gauge: Gauge::new(12.5, 13.44).unwrap(), request: None }
}

fn small() -> Fabric {
    fabric(2, 2, &[0, 1, 1, 0])
}

fn new<'a>(name: &'a str, fabric: &'a Fabric) -> NewBlanket<'a> {
    NewBlanket { name, invented: false, fabric, picture: None }
}

fn open(folder: &Path) -> Store {
    Store::open(folder).unwrap().store
}

fn cells(before: &[(u32, u8)], after: &[(u32, u8)], stroke: Option<&str>) -> Operation {
    Operation {
        name: "stitch".to_owned(),
        stroke: stroke.map(str::to_owned),
        before: Change::Cells(before.to_vec()),
        after: Change::Cells(after.to_vec()),
    }
}

fn bytes(store: &Store, id: BlanketId) -> Vec<u8> {
    let chart = store.blanket(id).unwrap().fabric.chart;
    chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect()
}

#[test]
fn a_blanket_comes_back_after_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let opened = Store::open(folder.path()).unwrap();
    assert!(opened.new && opened.damaged.is_none());
    let fabric = Fabric { request: Some("{}".to_owned()), ..small() };
    let facts = PictureFacts { name: "cat.png".to_owned(), width: 3, height: 4 };
    let picture = Some(NewPicture { facts: &facts, bytes: b"bytes" });
    let id = opened.store.add(&NewBlanket { picture, ..new("Cat", &fabric) }, NOON).unwrap();
    drop(opened);
    let opened = Store::open(folder.path()).unwrap();
    assert!(!opened.new && opened.damaged.is_none());
    let blanket = opened.store.blanket(id).unwrap();
    assert_eq!((blanket.name.as_str(), blanket.revision, blanket.aside), ("Cat", 0, false));
    assert_eq!((blanket.fabric, blanket.picture), (fabric, Some(facts)));
    assert_eq!(opened.store.picture(id).unwrap(), b"bytes");
    let cards = opened.store.cards().unwrap();
    // The moment, as any calendar has it: 25 November 2026 is day 20,782 after 1 January 1970.
    assert_eq!(cards[0].changed, "2026-11-25T12:00:00Z");
    assert!(cards[0].has_picture);
}

#[test]
fn operations_go_back_and_again_across_restarts() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let id = store.add(&new("Cat", &small()), NOON).unwrap();
    assert_eq!(store.record(id, 0, &cells(&[(0, 0)], &[(0, 1)], None), NOON), Ok(1));
    let name = Operation {
        name: "rename".to_owned(),
        stroke: None,
        before: Change::Name("Cat".to_owned()),
        after: Change::Name("Tom".to_owned()),
    };
    assert_eq!(store.record(id, 1, &name, NOON), Ok(2));
    assert_eq!(store.record(id, 1, &name, NOON), Err(StoreError::Stale { revision: 2 }));
    drop(store);
    let store = open(folder.path());
    assert_eq!(store.names(id), Ok([Some("rename".to_owned()), None]));
    assert_eq!(store.ahead(id, Way::Back), Ok(Some(name)));
    assert_eq!(store.go(id, 2, Way::Back, NOON), Ok(3));
    assert_eq!(store.go(id, 3, Way::Back, NOON), Ok(4));
    assert_eq!(store.go(id, 4, Way::Back, NOON), Err(StoreError::Nothing));
    assert_eq!((store.blanket(id).unwrap().name, bytes(&store, id)), ("Cat".to_owned(), vec![0, 1, 1, 0]));
    assert_eq!(store.go(id, 4, Way::Again, NOON), Ok(5));
    assert_eq!(bytes(&store, id), [1, 1, 1, 0]);
    // Another operation: what was taken back is no more.
    assert_eq!(store.record(id, 5, &cells(&[(3, 0)], &[(3, 1)], None), NOON), Ok(6));
    assert_eq!(store.names(id), Ok([Some("stitch".to_owned()), None]));
}

#[test]
fn parts_of_one_stroke_are_one_operation() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let id = store.add(&new("Cat", &small()), NOON).unwrap();
    store.record(id, 0, &cells(&[(0, 0)], &[(0, 1)], Some("s1")), NOON).unwrap();
    store.record(id, 1, &cells(&[(0, 1), (3, 0)], &[(0, 0), (3, 1)], Some("s1")), NOON).unwrap();
    store.record(id, 2, &cells(&[(1, 1)], &[(1, 0)], Some("s2")), NOON).unwrap();
    store.go(id, 3, Way::Back, NOON).unwrap();
    assert_eq!(bytes(&store, id), [0, 1, 1, 1]);
    let merged = store.ahead(id, Way::Back).unwrap().unwrap();
    assert_eq!(merged.before, Change::Cells(vec![(0, 0), (3, 0)]));
    assert_eq!(merged.after, Change::Cells(vec![(0, 0), (3, 1)]));
    // A stroke that goes on after something of it was taken back is a new one.
    store.go(id, 4, Way::Back, NOON).unwrap();
    assert_eq!(bytes(&store, id), [0, 1, 1, 0]);
    store.record(id, 5, &cells(&[(2, 1)], &[(2, 0)], Some("s1")), NOON).unwrap();
    assert_eq!(store.ahead(id, Way::Back).unwrap().unwrap().before, Change::Cells(vec![(2, 1)]));
    assert_eq!(store.ahead(id, Way::Again), Ok(None));
}

#[test]
fn deleting_for_good_takes_everything_but_what_others_have() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let facts = PictureFacts { name: String::new(), width: 1, height: 1 };
    let fabric = small();
    let picture = Some(NewPicture { facts: &facts, bytes: b"a picture that nobody else has" });
    let first = store.add(&NewBlanket { picture, ..new("Cat", &fabric) }, NOON).unwrap();
    let second = store.duplicate(first, "Cat 2", NOON).unwrap();
    assert_eq!(store.delete_for_good(first), Err(StoreError::NotAside(first)));
    store.set_aside(first, Some(NOON)).unwrap();
    assert!(store.cards().unwrap()[1].aside);
    store.delete_for_good(first).unwrap();
    assert_eq!(store.blanket(first), Err(StoreError::NoSuchBlanket(first)));
    assert!(store.picture(second).is_ok());
    store.set_aside(second, Some(NOON)).unwrap();
    store.set_aside(second, None).unwrap();
    assert_eq!(store.delete_for_good(second), Err(StoreError::NotAside(second)));
    store.set_aside(second, Some(NOON)).unwrap();
    store.delete_for_good(second).unwrap();
    // A number is never given twice.
    let third = store.add(&new("Dog", &fabric), NOON).unwrap();
    assert!(third > second);
    assert_eq!(store.picture(third), Err(StoreError::NoPicture(third)));
    drop(store);
    // And the picture is not left lying in the file.
    let file = fs::read(folder.path().join(DATABASE)).unwrap();
    assert!(!file.windows(12).any(|part| part == b"nobody else "));
}

#[test]
fn a_second_copy_is_told_and_touches_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let error = Store::open(folder.path()).unwrap_err();
    assert_eq!(error, StoreError::OpenElsewhere(folder.path().to_owned()));
    assert_eq!(error.to_string(), "the shelf is open in another window of this program");
    store.add(&new("Cat", &small()), NOON).unwrap();
    drop(store);
    assert_eq!(open(folder.path()).cards().unwrap().len(), 1);
}

/// Spoils a shelf in each of several ways; whatever it is, the file is kept as it was found.
#[test]
fn a_damaged_shelf_is_set_aside_and_never_written_over() {
    type Spoil = fn(&mut Vec<u8>);
    let ways: [(&str, Spoil); 4] = [
        ("no database", |file| *file = b"a letter to my aunt, not a database at all".repeat(9)),
        ("head scrawled over", |file| file[..100].fill(0xa5)),
        ("pages scrawled over", |file| {
            file[4096 + 100..].chunks_mut(4096).for_each(|page| {
                let end = page.len().min(800);
                page[..end].fill(0xff);
            })
        }),
        ("cut short", |file| file.truncate(4096 + 10)),
    ];
    let folder = tempfile::tempdir().unwrap();
    for (number, (way, spoil)) in (1..).zip(ways) {
        let store = open(folder.path());
        let name = way.repeat(300);
        for _ in 0..20 {
            store.add(&new(&name, &small()), NOON).unwrap();
        }
        drop(store);
        let path = folder.path().join(DATABASE);
        let mut file = fs::read(&path).unwrap();
        spoil(&mut file);
        fs::write(&path, &file).unwrap();
        let opened = Store::open(folder.path()).unwrap();
        let aside = opened.damaged.unwrap_or_else(|| panic!("{way}: not found damaged"));
        assert_eq!(aside, folder.path().join(format!("shelf-damaged-{number}.db")), "{way}");
        assert!(fs::read(&aside).unwrap() == file, "{way}: the damaged file was changed");
        assert!(opened.new, "{way}");
        assert_eq!(opened.store.cards().unwrap().len(), 0, "{way}");
    }
}

#[test]
fn the_log_of_an_emptied_shelf_is_kept_too() {
    let folder = tempfile::tempdir().unwrap();
    drop(open(folder.path()));
    fs::write(folder.path().join(DATABASE), b"").unwrap();
    fs::write(folder.path().join("shelf.db-wal"), b"the last that is left").unwrap();
    let opened = Store::open(folder.path()).unwrap();
    assert!(opened.damaged.is_some());
    let kept = fs::read(folder.path().join("shelf-damaged-1.db-wal")).unwrap();
    assert_eq!(kept, b"the last that is left");
}

#[test]
fn what_is_newer_or_not_ours_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(DATABASE);
    drop(open(folder.path()));
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.pragma_update(None, "user_version", NEWEST + 1).unwrap();
    raw.close().unwrap();
    let before = fs::read(&path).unwrap();
    let newer = StoreError::Newer { found: NEWEST + 1, known: NEWEST };
    assert_eq!(Store::open(folder.path()).unwrap_err(), newer);
    assert!(fs::read(&path).unwrap() == before);

    fs::remove_file(&path).unwrap();
    let raw = rusqlite::Connection::open(&path).unwrap();
    raw.execute_batch("CREATE TABLE recipes (name TEXT)").unwrap();
    raw.close().unwrap();
    assert_eq!(Store::open(folder.path()).unwrap_err(), StoreError::NotAShelf(path));
}

#[test]
fn a_full_disk_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let id = store.add(&new("Cat", &small()), NOON).unwrap();
    store.limit_size(0).unwrap();
    let big = fabric(300, 400, &[1; 120_000]);
    assert_eq!(store.add(&new("Big", &big), NOON), Err(StoreError::DiskFull));
    let charted = Operation {
        name: "chart_picture".to_owned(),
        stroke: None,
        before: Change::Fabric(Box::new(small())),
        after: Change::Fabric(Box::new(big.clone())),
    };
    assert_eq!(store.record(id, 0, &charted, NOON), Err(StoreError::DiskFull));
    assert_eq!(store.cards().unwrap().len(), 1);
    assert_eq!((store.blanket(id).unwrap().revision, bytes(&store, id)), (0, vec![0, 1, 1, 0]));
    // Room again.
    store.limit_size(1 << 30).unwrap();
    assert_eq!(store.record(id, 0, &charted, NOON), Ok(1));
    drop(store);
    assert_eq!(open(folder.path()).blanket(id).unwrap().fabric, big);
}

/// Where the folder can't be: below a file, which no user may write to, whatever their rights.
#[test]
fn a_folder_that_can_not_be_made_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, b"").unwrap();
    let path = file.join("shelf");
    match Store::open(&path).unwrap_err() {
        StoreError::Folder { path: named, .. } => assert_eq!(named, path),
        other => panic!("{other:?}"),
    }
}

/// A database that can't be written: its place is taken by a folder.
#[test]
fn a_database_that_can_not_be_opened_is_no_damage() {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join(DATABASE)).unwrap();
    assert_eq!(Store::open(folder.path()).unwrap_err(), StoreError::ReadOnly);
    assert!(folder.path().join(DATABASE).is_dir());
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let may = |mode| fs::set_permissions(folder.path(), fs::Permissions::from_mode(mode)).unwrap();
    may(0o555);
    let opened = Store::open(folder.path());
    may(0o755);
    // Whoever may write anywhere, as root does, gets a shelf; all others are told.
    match opened {
        Ok(opened) => assert!(opened.new),
        Err(error) => assert!(matches!(error, StoreError::Folder { .. } | StoreError::ReadOnly), "{error:?}"),
    }
}

#[test]
fn lists_and_settings_have_a_way_back() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    assert_eq!((store.yarns(), store.settings()), (Ok(None), Ok(None)));
    let yarn = |key: &str| Yarn::plain(key, key, Srgb::new(0, 0, 0));
    store.keep_yarns(&[yarn("a")], NOON).unwrap();
    store.keep_yarns(&[yarn("a"), yarn("b")], NOON).unwrap();
    store.keep_settings("{}", NOON).unwrap();
    drop(store);
    let store = open(folder.path());
    assert_eq!(store.yarns().unwrap().unwrap().len(), 2);
    store.take_back_yarns().unwrap();
    assert_eq!(store.yarns().unwrap().unwrap(), [yarn("a")]);
    store.take_back_yarns().unwrap();
    assert_eq!(store.take_back_yarns(), Err(StoreError::Nothing));
    assert_eq!(store.settings(), Ok(Some("{}".to_owned())));
}

fn making(before: Option<&str>, after: &str) -> Operation {
    Operation {
        name: "margin".to_owned(),
        stroke: None,
        before: Change::Making(before.map(str::to_owned)),
        after: Change::Making(Some(after.to_owned())),
    }
}

#[test]
fn what_is_kept_for_the_making_goes_back_and_again_and_along_with_copies() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let id = store.add(&new("Cat", &small()), NOON).unwrap();
    assert_eq!(store.blanket(id).unwrap().making, None);
    store.record(id, 0, &making(None, "{\"margin\":5}"), NOON).unwrap();
    store.record(id, 1, &making(Some("{\"margin\":5}"), "{\"margin\":20}"), NOON).unwrap();
    drop(store);
    let store = open(folder.path());
    let kept = |id| store.blanket(id).unwrap().making;
    assert_eq!(kept(id).as_deref(), Some("{\"margin\":20}"));
    let copy = store.duplicate(id, "Cat 2", NOON).unwrap();
    assert_eq!(kept(copy).as_deref(), Some("{\"margin\":20}"));
    store.go(id, 2, Way::Back, NOON).unwrap();
    assert_eq!(kept(id).as_deref(), Some("{\"margin\":5}"));
    store.go(id, 3, Way::Back, NOON).unwrap();
    assert_eq!(kept(id), None);
    store.go(id, 4, Way::Again, NOON).unwrap();
    assert_eq!(kept(id).as_deref(), Some("{\"margin\":5}"));
    // Another chart leaves it alone.
    let wider = Change::Fabric(Box::new(fabric(1, 3, &[0, 1, 0])));
    let resize = Operation { name: "resize".to_owned(), after: wider, ..cells(&[], &[], None) };
    store.record(id, 5, &resize, NOON).unwrap();
    assert_eq!(kept(id).as_deref(), Some("{\"margin\":5}"));
}

#[test]
fn ticks_stay_with_their_blanket_and_outside_the_operations() {
    let folder = tempfile::tempdir().unwrap();
    let store = open(folder.path());
    let id = store.add(&new("Cat", &small()), NOON).unwrap();
    let tick = |mark: &str, amount| Tick { mark: mark.to_owned(), amount };
    let (first, second) = (tick("a:1:0", Some(2_400_000)), tick("b:1:4", None));
    store.tick(id, "winding", &[second.clone(), first.clone()], true, NOON).unwrap();
    // A second time, with something else: the first counts.
    store.tick(id, "winding", &[tick("a:1:0", Some(1))], true, NOON).unwrap();
    store.tick(id, "ends", std::slice::from_ref(&second), true, NOON).unwrap();
    drop(store);
    let store = open(folder.path());
    assert_eq!(store.ticks(id, "winding").unwrap(), [first.clone(), second.clone()]);
    assert_eq!(store.blanket(id).unwrap().revision, 0);
    assert_eq!(store.ahead(id, Way::Back), Ok(None));
    let copy = store.duplicate(id, "Cat 2", NOON).unwrap();
    assert_eq!(store.ticks(copy, "winding"), Ok(Vec::new()));
    store.tick(id, "winding", &[first, tick("never ticked", None)], false, NOON).unwrap();
    assert_eq!(store.ticks(id, "winding").unwrap(), std::slice::from_ref(&second));
    store.set_aside(id, Some(NOON)).unwrap();
    store.delete_for_good(id).unwrap();
    assert_eq!(store.ticks(id, "winding"), Ok(Vec::new()));
    let gone = store.tick(id, "winding", &[second], true, NOON);
    assert_eq!(gone, Err(StoreError::NoSuchBlanket(id)));
}

/// The file as the first version of it was: the very steps that made it, and a blanket in it.
#[test]
fn a_shelf_of_the_first_version_opens_with_all_that_is_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(DATABASE);
    let old = rusqlite::Connection::open(&path).unwrap();
    old.execute_batch(include_str!("../migrations/001_shelf.sql")).unwrap();
    old.pragma_update(None, "application_id", 0x5374_726e).unwrap();
    old.pragma_update(None, "user_version", 1).unwrap();
    old.execute(
        "INSERT INTO blankets (name, invented, revision, made, changed, gauge_stitches, gauge_rows, \
         gauge_estimated, columns, rows, palette, cells) VALUES ('Old', 0, 3, 1, 2, 12.5, 13.44, 0, 2, 1, \
         '[{\"key\":\"a\",\"name\":\"A\",\"colour\":\"#010203\"}]', x'0000')",
        [],
    )
    .unwrap();
    let operation = "INSERT INTO operations (blanket, number, name, done, before, after) \
         VALUES (1, 1, 'rename', 2, CAST(x'04' || 'Older' AS BLOB), CAST(x'04' || 'Old' AS BLOB))";
    old.execute(operation, []).unwrap();
    drop(old);
    let opened = Store::open(folder.path()).unwrap();
    assert!(!opened.new && opened.damaged.is_none());
    let id = BlanketId(1);
    let blanket = opened.store.blanket(id).unwrap();
    assert_eq!((blanket.name.as_str(), blanket.revision, blanket.making), ("Old", 3, None));
    opened.store.record(id, 3, &making(None, "{}"), NOON).unwrap();
    opened.store.go(id, 4, Way::Back, NOON).unwrap();
    opened.store.go(id, 5, Way::Back, NOON).unwrap();
    assert_eq!(opened.store.blanket(id).unwrap().name, "Older");
}
