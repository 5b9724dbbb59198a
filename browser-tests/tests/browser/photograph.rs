//! From a photograph to a stray stitch that is painted away.

use browser_tests::{Sheet, root};

use crate::{Scene, take_yarn};

/// A place where a stitch of a certain other yarn would be alone: that yarn is nowhere near.
fn lonely(sheet: &Sheet) -> Vec<(usize, usize, u8)> {
    let mut found = Vec::new();
    for (column, row) in
        (2..sheet.rows - 2).flat_map(|row| (2..sheet.columns - 2).map(move |column| (column, row)))
    {
        let own = sheet.yarn(column, row);
        let alike = (row - 1..=row + 1)
            .all(|row| (column - 1..=column + 1).all(|column| sheet.yarn(column, row) == own));
        if !alike {
            continue;
        }
        let used = |yarn: u8| sheet.cells.contains(&yarn);
        let yarns: Vec<u8> = (0..6).filter(|yarn| *yarn != own && used(*yarn)).collect();
        // The nearest stitch of that yarn, as the rows and columns count.
        let distance = |yarn: u8| {
            let there = sheet.cells.iter().enumerate().filter(|(_, other)| **other == yarn);
            there
                .map(|(place, _)| {
                    (place % sheet.columns).abs_diff(column) + (place / sheet.columns).abs_diff(row)
                })
                .min()
                .unwrap_or(0)
        };
        if let Some(yarn) = yarns.into_iter().max_by_key(|yarn| distance(*yarn)) {
            found.push((distance(yarn), column, row, yarn));
        }
    }
    found.sort_by_key(|(distance, ..)| usize::MAX - distance);
    found.into_iter().map(|(_, column, row, yarn)| (column, row, yarn)).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_photograph_becomes_a_chart_and_a_stray_stitch_goes_with_two_ends() {
    let scene = Scene::begin().await;
    let window = &scene.window;
    window.choose_file(".way", "From a picture", &root().join("fixtures/chelsea.png")).await;
    let drawn = "(() => { const one = document.querySelector('.picture-crop canvas'); return one && one.width > 1 && one.getContext('2d').getImageData(one.width / 2, one.height / 2, 1, 1).data[3] > 0; })()";
    window.until("the picture", drawn).await;
    window.fill("Width", "40").await;
    window.fill("How many yarns", "6").await;
    // 40 cm at the usual 12.5 stitches in 10 cm are 50 stitches.
    window.sees("50 stitches across").await;
    window.click("button", "Chart it").await;
    window.sees("Charted anew").await;
    window.sees("6 yarns").await;
    window.click("a", "To the chart").await;
    window.until("the chart", "document.querySelector('.sheet canvas')?.width > 0").await;
    let sheet = Sheet::of(window).await;
    assert_eq!(sheet.columns, 50);
    assert_eq!(sheet.blanket["palette"].as_array().map(Vec::len), Some(6));
    assert_eq!(window.number("ends").await, sheet.ends());

    // A stray is painted in where it costs its two ends, and away again.
    let mut revision = sheet.revision();
    for (column, row, yarn) in lonely(&sheet).into_iter().take(12) {
        take_yarn(window, yarn.into()).await;
        window.click_at(sheet.point(column, row)).await;
        let with = window.ends_after(revision).await;
        revision = Sheet::of(window).await.revision();
        take_yarn(window, sheet.yarn(column, row).into()).await;
        window.click_at(sheet.point(column, row)).await;
        assert_eq!(window.ends_after(revision).await, sheet.ends(), "the chart is as it was");
        if with == sheet.ends() + 2 {
            assert_eq!(window.text("[data-change=ends]").await, "2 fewer");
            scene.end().await;
            return;
        }
        revision = Sheet::of(window).await.revision();
    }
    panic!("no stitch of another yarn is a stray here");
}
