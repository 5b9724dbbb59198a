//! The program is gone in the middle of a stroke.

use browser_tests::{Program, Sheet};

use crate::{DESK, Scene, take_yarn};

#[tokio::test(flavor = "multi_thread")]
async fn a_stroke_made_while_the_program_is_gone_arrives_when_it_is_back() {
    let mut scene = Scene::begin().await;
    let sheet = scene.blank(20, 16).await;
    take_yarn(&scene.window, 1).await;
    scene.window.click_at(sheet.point(2, 2)).await;
    scene.window.ends_after(sheet.revision()).await;

    let port = scene.program.port();
    scene.program.kill();
    let window = &scene.window;
    window.drag(&[sheet.point(9, 7), sheet.point(10, 7), sheet.point(11, 7)]).await;
    window.sees("The program does not answer").await;
    window.sees("3 stitches are not kept yet").await;

    // The same place again. Its key is a new one: whoever opens the address it prints brings it along.
    let program = Program::start(scene.data.path(), port);
    let other = scene.browser.open(program.address(), DESK).await;
    window.to_front().await;
    window.sees("The program answers again").await;
    window.misses("The program does not answer").await;
    window.ends_after(sheet.revision() + 1).await;
    let after = Sheet::of(window).await;
    assert_eq!([2, 9, 10, 11].map(|column| after.yarn(column, if column == 2 { 2 } else { 7 })), [1; 4]);
    assert_eq!(after.cells.iter().filter(|yarn| **yarn == 1).count(), 4);
    assert_eq!(window.number("ends").await, after.ends());
    other.close().await;
    scene.browser.quit().await;
}
