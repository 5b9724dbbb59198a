//! Pictures of every page at three widths, light and dark: `cargo run -p browser-tests --bin shots -- FOLDER`.

use std::path::PathBuf;

use browser_tests::{Browser, Page, Program, Shelf};

#[tokio::main(flavor = "multi_thread")]
#[expect(clippy::print_stdout, reason = "says where the pictures are")]
async fn main() {
    let folder = std::env::args_os().nth(1).map_or_else(|| PathBuf::from("shots"), PathBuf::from);
    std::fs::create_dir_all(&folder).expect("a folder for the pictures");
    let data = tempfile::tempdir().expect("a temporary folder");
    let program = Program::start(data.path(), 0);
    let browser = Browser::start().await;
    let window = browser.open(program.address(), (1440, 900)).await;
    window.until("the shelf", "document.querySelector('.card')").await;
    let shelf = Shelf::fill(&window).await;
    for width in [390, 820, 1440] {
        for dark in [false, true] {
            window.resize(width, if width < 800 { 844 } else { 900 }).await;
            window.dark(dark).await;
            for page in Page::ALL {
                page.show(&window, shelf).await;
                let name = format!("{}-{width}-{}.png", page.name(), if dark { "dark" } else { "light" });
                std::fs::write(folder.join(name), window.picture().await).expect("a picture is written");
            }
        }
    }
    browser.quit().await;
    println!("{} pictures in {}", Page::ALL.len() * 6, folder.display());
}
