//! Long lines broken at spaces, with a hanging indent.

/// Columns of a page of text, in characters.
const COLUMNS: usize = 96;

/// Breaks a line at spaces so that no piece is longer than a page is wide, where that is possible;
/// what goes on is indented.
pub(crate) fn wrap(line: &str) -> String {
    const INDENT: &str = "    ";
    let mut out = String::with_capacity(line.len() + line.len() / 16);
    let mut used = 0;
    for word in line.split(' ') {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > COLUMNS {
            out.push('\n');
            out.push_str(INDENT);
            used = INDENT.len();
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unwrapping_gives_the_line_back() {
        let line = "12 sc A1; join B1; ".repeat(30).trim_end().to_owned();
        let wrapped = wrap(&line);
        assert!(wrapped.lines().all(|piece| piece.chars().count() <= COLUMNS));
        assert!(wrapped.lines().skip(1).all(|piece| piece.starts_with("    ")));
        assert_eq!(wrapped.trim_end().replace("\n    ", " "), line);
    }
}
