//! Builds the crate again when a file of the page is added, changed or removed.

fn main() {
    println!("cargo::rerun-if-changed=../../web");
}
