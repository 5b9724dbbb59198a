//! Every page there is, brought into sight: for screenshots and for the accessibility checker.

use serde_json::{Value, json};

use crate::root;
use crate::window::Window;

/// What stands on the shelf of a well-used program, by the blankets' numbers.
#[derive(Debug, Clone, Copy)]
pub struct Shelf {
    demo: u64,
    pictured: u64,
    blank: u64,
}

impl Shelf {
    /// Fills the list of yarns and the shelf: the demo, a blanket from a photograph, a blank one, and one that is set aside.
    ///
    /// # Panics
    /// Where the program refuses.
    pub async fn fill(window: &Window) -> Self {
        let id = |answer: Value| answer["id"].as_u64().expect("the new blanket's number");
        let ball = |key: &str, name: &str, colour: &str, on_hand: u8| {
            json!({
                "key": key, "name": name, "colour": colour, "weight": "medium", "metres": 170, "grams": 100,
                "on_hand": on_hand,
            })
        };
        let list = [
            ball("oat", "Oat", "#f0e2c2", 6),
            ball("rust", "Rust", "#a3492f", 3),
            ball("night", "Night", "#26304f", 4),
            ball("moss", "Moss", "#5d6b3a", 2),
            ball("slate", "Slate", "#7a828a", 0),
        ];
        window.api("PUT", "/api/yarns", &json!({ "yarns": list })).await;
        let photograph = std::fs::read(root().join("fixtures/chelsea.png")).expect("a fixture");
        let pictured =
            id(window.send_bytes("/api/blankets/from-picture?name=Cat%20on%20a%20rug", &photograph).await);
        let yarn =
            |key: &str, name: &str, colour: &str| json!({ "key": key, "name": name, "colour": colour });
        let ask = json!({
            "from": "blank", "name": "Striped cushion", "columns": 40, "rows": 30, "gauge": { "stitches": 12.5 },
            "yarns": [yarn("oat", "Oat", "#f0e2c2"), yarn("rust", "Rust", "#a3492f")],
        });
        let blank = id(window.api("POST", "/api/blankets", &ask).await);
        let aside = id(window.api("POST", "/api/blankets", &json!({ "from": "demo" })).await);
        window.api("POST", &format!("/api/blankets/{aside}/set-aside"), &json!({})).await;
        let shelf = window.api("GET", "/api/shelf", &Value::Null).await;
        let cards = shelf["blankets"].as_array().expect("cards");
        let demo = cards.iter().find(|card| card["invented"] == true).expect("the demo is on the shelf");
        let demo = demo["id"].as_u64().expect("a number");
        window
            .api(
                "PUT",
                &format!("/api/blankets/{demo}/making"),
                &json!({ "revision": 0, "making": making() }),
            )
            .await;
        Self { demo, pictured, blank }
    }
}

/// What somebody who is in the middle of the demo might give.
fn making() -> Value {
    let counted = |count: u8| json!({ "count": count, "over": 20, "unit": "cm" });
    json!({
        "swatch": {
            "stitches": counted(26), "rows": counted(28), "yarn_taken": { "number": 40, "unit": "g" }, "carried": true,
        },
        "shrinkage": { "width": 2, "height": 3 },
        "evenings": { "a_week": 4, "minutes": 60, "by": "2099-01-01" },
        "rows_done": 12,
        "measured_again": { "rows_done": 20, "stitches": counted(25), "rows": counted(28) },
        "border": { "rounds": [
            { "stitch": "sc", "yarn": "slate" }, { "stitch": "dc", "yarn": "oat", "corners": 3 },
            { "stitch": "sc", "yarn": "slate" },
        ] },
    })
}

/// A page, panel or state of one that looks different from the others.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Page {
    Shelf,
    SetAside,
    CardMenu,
    NewBlank,
    Rename,
    Picture,
    PictureYarns,
    PictureWishes,
    Matters,
    Choices,
    NoPicture,
    Chart,
    ChartMore,
    ChangeYarn,
    AddYarn,
    Files,
    Changes,
    Words,
    Fabric,
    FabricNear,
    Amounts,
    Slip,
    Balls,
    Time,
    Winding,
    Ends,
    Border,
    Paper,
    NewWords,
    Strands,
    Followed,
    Yarns,
    OneYarn,
    Settings,
    NoSuchBlanket,
}

impl Page {
    /// All of them.
    pub const ALL: [Self; 35] = [
        Self::Shelf,
        Self::SetAside,
        Self::CardMenu,
        Self::NewBlank,
        Self::Rename,
        Self::Picture,
        Self::PictureYarns,
        Self::PictureWishes,
        Self::Matters,
        Self::Choices,
        Self::NoPicture,
        Self::Chart,
        Self::ChartMore,
        Self::ChangeYarn,
        Self::AddYarn,
        Self::Files,
        Self::Changes,
        Self::Words,
        Self::Fabric,
        Self::FabricNear,
        Self::Amounts,
        Self::Slip,
        Self::Balls,
        Self::Time,
        Self::Winding,
        Self::Ends,
        Self::Border,
        Self::Paper,
        Self::NewWords,
        Self::Strands,
        Self::Followed,
        Self::Yarns,
        Self::OneYarn,
        Self::Settings,
        Self::NoSuchBlanket,
    ];

    /// A name for its files.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Shelf => "shelf",
            Self::SetAside => "shelf-set-aside",
            Self::CardMenu => "shelf-menu",
            Self::NewBlank => "shelf-blank",
            Self::Rename => "shelf-rename",
            Self::Picture => "picture",
            Self::PictureYarns => "picture-yarns",
            Self::PictureWishes => "picture-wishes",
            Self::Matters => "picture-matters",
            Self::Choices => "picture-choices",
            Self::NoPicture => "picture-none",
            Self::Chart => "chart",
            Self::ChartMore => "chart-more",
            Self::ChangeYarn => "chart-change-yarn",
            Self::AddYarn => "chart-add-yarn",
            Self::Files => "chart-files",
            Self::Changes => "chart-changes",
            Self::Words => "chart-words",
            Self::Fabric => "fabric",
            Self::FabricNear => "fabric-near",
            Self::Amounts => "amounts",
            Self::Slip => "amounts-slip",
            Self::Balls => "amounts-balls",
            Self::Time => "amounts-time",
            Self::Winding => "amounts-winding",
            Self::Ends => "amounts-ends",
            Self::Border => "border",
            Self::Paper => "paper",
            Self::NewWords => "shelf-words",
            Self::Strands => "strands",
            Self::Followed => "strands-followed",
            Self::Yarns => "yarns",
            Self::OneYarn => "yarns-one",
            Self::Settings => "settings",
            Self::NoSuchBlanket => "no-such-blanket",
        }
    }

    /// Brings it into sight, from wherever the window is.
    ///
    /// # Panics
    /// Where it never comes.
    pub async fn show(self, window: &Window, shelf: Shelf) {
        let Shelf { demo, pictured, blank } = shelf;
        let place = match self {
            Self::Shelf
            | Self::SetAside
            | Self::CardMenu
            | Self::NewBlank
            | Self::NewWords
            | Self::Rename => "#/shelf".to_owned(),
            Self::Picture | Self::PictureYarns | Self::PictureWishes | Self::Matters | Self::Choices => {
                format!("#/blanket/{pictured}/picture")
            }
            Self::NoPicture => format!("#/blanket/{blank}/picture"),
            Self::Chart
            | Self::ChartMore
            | Self::ChangeYarn
            | Self::AddYarn
            | Self::Files
            | Self::Changes
            | Self::Words => format!("#/blanket/{demo}/chart"),
            Self::Fabric | Self::FabricNear => format!("#/blanket/{demo}/fabric"),
            Self::Amounts | Self::Balls => format!("#/blanket/{demo}/amounts"),
            Self::Slip => format!("#/blanket/{blank}/amounts"),
            Self::Time => format!("#/blanket/{demo}/amounts?view=time"),
            Self::Winding => format!("#/blanket/{demo}/amounts?view=winding"),
            Self::Ends => format!("#/blanket/{demo}/amounts?view=ends"),
            Self::Border => format!("#/blanket/{demo}/border"),
            Self::Paper => format!("#/blanket/{demo}/paper"),
            Self::Strands | Self::Followed => format!("#/blanket/{demo}/strands"),
            Self::Yarns | Self::OneYarn => "#/shelf?panel=yarns".to_owned(),
            Self::Settings => format!("#/blanket/{demo}/chart?panel=settings"),
            Self::NoSuchBlanket => "#/blanket/987654321/chart".to_owned(),
        };
        // A load of its own for each, so that nothing of the one before is left.
        window.go_within(&place).await;
        window.reload().await;
        let there = match self {
            Self::Shelf
            | Self::SetAside
            | Self::CardMenu
            | Self::NewBlank
            | Self::NewWords
            | Self::Rename => ".card img",
            Self::Picture | Self::PictureYarns | Self::PictureWishes | Self::Matters | Self::Choices => {
                ".picture-preview canvas"
            }
            Self::NoPicture | Self::NoSuchBlanket => ".empty",
            Self::Chart
            | Self::ChartMore
            | Self::ChangeYarn
            | Self::AddYarn
            | Self::Files
            | Self::Changes
            | Self::Words => ".sheet canvas",
            Self::Fabric | Self::FabricNear => ".alike h2",
            Self::Amounts | Self::Slip | Self::Balls => ".amount",
            Self::Time => ".evening-table td",
            Self::Winding | Self::Ends => ".tick-one",
            Self::Border => ".border-svg path",
            Self::Paper => ".paper-page[src]",
            Self::Strands | Self::Followed => ".row-words li",
            Self::Yarns | Self::OneYarn => "dialog .yarn-list li",
            Self::Settings => "dialog .choice",
        };
        window.until(self.name(), &format!("document.querySelector({})", json!(there))).await;
        match self {
            Self::SetAside => window.click(".drawer summary", "").await,
            Self::CardMenu => window.click(".card .menu > button", "").await,
            Self::NewBlank => window.click(".way", "Blank").await,
            Self::Rename => {
                window.click(".card .menu > button", "").await;
                window.click(".menu-item", "Rename").await;
            }
            Self::PictureYarns => window.click(".choice-one", "I pick them").await,
            Self::PictureWishes => {
                // The page remembers what was picked on the one before.
                window.click(".choice-one", "Choose for me").await;
                window.click("summary", "Say more about the yarns").await;
            }
            Self::Matters => window.click("button", "Mark what matters").await,
            Self::Choices => {
                window.click("button", "Show me a row of charts").await;
                let over = "document.querySelectorAll('.choice-card').length > 2 && document.querySelector('.working').hidden";
                window.until("the charts", over).await;
                window.js("document.querySelector('.choices').scrollIntoView()").await;
            }
            Self::Changes => window.click(".changes summary", "").await,
            Self::Words => {
                window.click(".side-tools button", "Words").await;
                window.click("dialog textarea", "").await;
                window.retype("Merrow Quay").await;
                window.sees("stitches by").await;
            }
            Self::NewWords => window.click(".way", "From words").await,
            Self::FabricNear => {
                window.click(".choice-one", "Wrong side").await;
                window.click(".choice-one", "Close up").await;
            }
            Self::Slip => {
                window.fill("Stitches", "14").await;
                window.fill("over", "1").await;
                window.sees("Is that 14 stitches in 10 cm, not per cm?").await;
            }
            Self::Balls => window.click(".amount button", "Balls of").await,
            Self::ChartMore => window.click(".more summary", "").await,
            Self::ChangeYarn => window.double_click(".chips .chip", "").await,
            Self::AddYarn => window.click(".side-yarns button", "Add").await,
            Self::Files => window.click(".top .menu > button", "").await,
            Self::Followed => {
                window.js("document.querySelector('#strand-choice').selectedIndex = 1").await;
                window
                    .js("document.querySelector('#strand-choice').dispatchEvent(new Event('change'))")
                    .await;
                window.until("the strand's steps", "document.querySelector('.steps-list li')").await;
            }
            Self::OneYarn => window.click(".yarn-list summary", "").await,
            _ => {}
        }
        // Letters there, pictures loaded as far as they are in sight, two frames drawn.
        let loaded = "[...document.images].filter((image) => image.checkVisibility() && image.getBoundingClientRect().top < innerHeight).every((image) => image.complete)";
        window.until("the pictures", loaded).await;
        let drawn = "document.fonts.ready.then(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true)))))";
        window.js(drawn).await;
    }
}
