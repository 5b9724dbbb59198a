//! Keys as the browser wants to hear of them.

/// A key on the keyboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// Goes to what can be used next; with Shift back.
    Tab,
    /// Uses it.
    Enter,
    /// Leaves it.
    Escape,
    /// The space bar.
    Space,
    /// Arrow.
    Left,
    /// Arrow.
    Right,
    /// Arrow.
    Up,
    /// Arrow.
    Down,
    /// A letter or a digit.
    Char(char),
}

/// What the browser is told: the key's name, its place on the keyboard, its number, what it types.
#[derive(Debug)]
pub(crate) struct Stroke {
    pub(crate) key: String,
    pub(crate) code: String,
    pub(crate) number: i64,
    pub(crate) text: Option<String>,
}

impl Key {
    /// Names and numbers: UI Events KeyboardEvent (W3C), the numbers from its appendix on `keyCode`. MEM
    pub(crate) fn stroke(self) -> Stroke {
        let named = |name: &str, number, text: Option<&str>| Stroke {
            key: name.to_owned(),
            code: name.to_owned(),
            number,
            text: text.map(str::to_owned),
        };
        match self {
            Self::Tab => named("Tab", 9, None),
            Self::Enter => named("Enter", 13, Some("\r")),
            Self::Escape => named("Escape", 27, None),
            Self::Space => Stroke { key: " ".to_owned(), ..named("Space", 32, Some(" ")) },
            Self::Left => named("ArrowLeft", 37, None),
            Self::Up => named("ArrowUp", 38, None),
            Self::Right => named("ArrowRight", 39, None),
            Self::Down => named("ArrowDown", 40, None),
            Self::Char(letter) => {
                let upper = letter.to_ascii_uppercase();
                let code =
                    if letter.is_ascii_digit() { format!("Digit{letter}") } else { format!("Key{upper}") };
                Stroke {
                    key: letter.to_string(),
                    code,
                    number: u32::from(upper).into(),
                    text: Some(letter.to_string()),
                }
            }
        }
    }
}
