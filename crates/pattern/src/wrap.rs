//! Long lines broken at spaces, with a hanging indent.

/// Columns of a page of text, in characters.
const COLUMNS: usize = 96;
/// Columns of a list that the words to explain take.
const WORDS: usize = 31;
/// How far what goes on is indented.
const INDENT: usize = 4;
/// How far the lines of a row are, so that a mark can stand out on the left of them.
const ITEMS: usize = 6;

/// Breaks a line at spaces so that no piece is longer than a page is wide, where that is possible;
/// what goes on is indented.
pub(crate) fn wrap(line: &str) -> String {
    let mut page = Page::new(INDENT);
    line.split(' ').for_each(|word| page.put(word));
    page.end()
}

/// Breaks a line after a `;`, so that what belongs together stays together; at spaces only in what
/// is longer than a page is wide, and that begins on a line of its own.
pub(crate) fn wrap_items(line: &str) -> String {
    let mut page = Page::new(ITEMS);
    let mut rest = line;
    while !rest.is_empty() {
        let (item, after) = match rest.find("; ") {
            Some(at) => (&rest[..=at], &rest[at + 2..]),
            None => (rest, ""),
        };
        if length(item) + ITEMS <= COLUMNS {
            page.put(item);
        } else {
            page.go_on_below();
            item.split(' ').for_each(|word| page.put(word));
        }
        rest = after;
    }
    page.end()
}

/// An entry of a list: words on the left, what they mean on the right.
pub(crate) fn entry(words: &str, meaning: &str) -> String {
    let mut page = Page::new(WORDS);
    page.put(words);
    page.indent_to(WORDS);
    meaning.split(' ').for_each(|word| page.put(word));
    page.end()
}

/// Whether a line needs no breaking.
pub(crate) fn fits(line: &str) -> bool {
    length(line) <= COLUMNS
}

fn length(text: &str) -> usize {
    text.chars().count()
}

/// A text that is being filled, line by line.
struct Page {
    text: String,
    /// Characters in the last line.
    used: usize,
    /// Whether something other than indent stands in the last line.
    begun: bool,
    indent: usize,
}

impl Page {
    const fn new(indent: usize) -> Self {
        Self { text: String::new(), used: 0, begun: false, indent }
    }

    /// Puts what must not be broken on this line, or on the next where it does not fit.
    fn put(&mut self, piece: &str) {
        if self.used + 1 + length(piece) > COLUMNS {
            self.go_on_below();
        }
        if self.begun {
            self.text.push(' ');
            self.used += 1;
        }
        self.text.push_str(piece);
        self.used += length(piece);
        self.begun = true;
    }

    /// Begins the next line, if something stands in this one.
    fn go_on_below(&mut self) {
        if self.begun {
            self.text.push('\n');
            self.used = 0;
            self.indent_to(self.indent);
        }
    }

    /// Spaces up to that column, from which the line goes on.
    fn indent_to(&mut self, column: usize) {
        while self.used < column {
            self.text.push(' ');
            self.used += 1;
        }
        self.begun = false;
    }

    fn end(mut self) -> String {
        self.text.push('\n');
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keeps_to_the_page(wrapped: &str) {
        assert!(wrapped.lines().all(fits), "{wrapped}");
        assert!(wrapped.lines().skip(1).all(|piece| piece.starts_with("    ")), "{wrapped}");
    }

    #[test]
    fn unwrapping_gives_the_line_back() {
        let line = "12 sc A1; join B1; ".repeat(30).trim_end().to_owned();
        for (wrapped, indent) in [(wrap(&line), "\n    "), (wrap_items(&line), "\n      ")] {
            keeps_to_the_page(&wrapped);
            assert_eq!(wrapped.trim_end().replace(indent, " "), line);
        }
    }

    #[test]
    fn items_are_broken_only_where_they_are_longer_than_a_page() {
        let items = wrap_items("12 sc A1; join B1; ".repeat(30).trim_end());
        assert!(items.lines().all(|line| line.ends_with(';')), "{items}");
        let long = format!("12 sc A1; 3 sc B1 over A1{}; drop B1.", " + C2 start tail".repeat(9));
        keeps_to_the_page(&wrap_items(&long));
        assert_eq!(wrap_items(&long).trim_end().replace("\n      ", " "), long);
    }

    #[test]
    fn an_entry_stands_in_two_columns() {
        let entry = entry("lift B1", "lay the working yarn around it ".repeat(3).trim_end());
        assert_eq!(
            entry,
            "lift B1                        lay the working yarn around it lay the working yarn around it lay\n\
             \x20                              the working yarn around it\n"
        );
    }
}
