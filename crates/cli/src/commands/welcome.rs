//! No command: what the program does and what to try.

use crate::console::Console;
use crate::failure::Failure;

const WELCOME: &str = "\
Strandwright turns a picture into a crochet pattern for a picture blanket: single crochet, one
stitch for each cell of the chart. It plans the way of every strand of yarn, so that there are as
few ends and as little carrying as can be, works the plan stitch by stitch to be sure, and writes
the rows out in words.

Try it with the demo:

  strandwright make demo/picture.png --yarns demo/yarns.toml --width 110cm --colours 7 --out blanket

(or `cargo run --release -- make …` from the source folder). With a picture of your own:

  strandwright make PICTURE --yarns YARNS.toml --width SIZE --colours K --out FOLDER

  make     the whole way: picture to chart, plan, rows in words and summary
  chart    a chart of a picture
  plan     a plan of a chart
  replay   work a plan stitch by stitch and check all that it claims
  rows     a plan's rows in words

`strandwright COMMAND --help` tells more about each.
";

pub(crate) fn welcome(console: &Console) -> Result<(), Failure> {
    console.print(WELCOME)
}
