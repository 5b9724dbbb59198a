//! Finding the yarn that a person means: by its key, its symbol on a chart, or its name.

use model::{ColourIndex, Palette, Yarn};

use crate::failure::Failure;
use crate::usage::Slip;

/// Most yarns that are listed where one is not found.
const LISTED: usize = 40;

/// What a yarn is called to a person.
pub(crate) fn called(yarn: &Yarn) -> &str {
    if yarn.name.is_empty() { &yarn.key } else { &yarn.name }
}

/// A yarn of a list, named after an option of the command line: its place.
pub(crate) fn in_list(yarns: &[Yarn], named: &str, option: &str) -> Result<usize, Failure> {
    found(yarns, named).map_err(|problem| {
        let parts: Vec<&str> = named.split([',', ';']).map(str::trim).collect();
        if parts.len() > 1 && parts.iter().all(|part| found(yarns, part).is_ok()) {
            let repeated: Vec<String> = parts.iter().map(|part| format!("{option} {part}")).collect();
            return Failure::input(
                format!("{named:?} are several yarns in one"),
                option,
                format!("repeat the option for each: {}", repeated.join(" ")),
            );
        }
        let slip = problem.slip(yarns, named, "the yarn list");
        Failure::input(&slip, option, &slip.hint)
    })
}

/// A yarn of a chart, which may be named by its symbol too.
pub(crate) fn on_chart(palette: &Palette, named: &str) -> Result<ColourIndex, Slip> {
    let by_symbol = || palette.indices().find(|&yarn| palette.symbol(yarn) == named);
    if let Some(yarn) = palette.by_key(named).or_else(by_symbol) {
        return Ok(yarn);
    }
    let slip = |problem: Problem| problem.slip(palette.yarns(), named, "the chart");
    let at = found(palette.yarns(), named).map_err(slip)?;
    palette.index(at).ok_or_else(|| slip(Problem::NotThere))
}

enum Problem {
    NotThere,
    /// More than one yarn has that name: their keys.
    Several(Vec<String>),
}

impl Problem {
    fn slip(&self, yarns: &[Yarn], named: &str, whole: &str) -> Slip {
        match self {
            Self::NotThere => {
                let keys: Vec<&str> = yarns.iter().take(LISTED).map(|yarn| yarn.key.as_str()).collect();
                let more = yarns.len().saturating_sub(LISTED);
                let more = if more == 0 { String::new() } else { format!(" and {more} more") };
                Slip::new(
                    format!("{whole} has no yarn {named:?}"),
                    format!("it has {}{more}", keys.join(", ")),
                )
            }
            Self::Several(keys) => {
                let hint = format!("say which by its key: {}", keys.join(" or "));
                Slip::new(format!("{whole} has {} yarns called {named:?}", keys.len()), hint)
            }
        }
    }
}

/// By its key as it stands, then by key or name whatever the case.
fn found(yarns: &[Yarn], named: &str) -> Result<usize, Problem> {
    if let Some(at) = yarns.iter().position(|yarn| yarn.key == named) {
        return Ok(at);
    }
    let lower = named.trim().to_lowercase();
    let those = |part: fn(&Yarn) -> &str| -> Vec<usize> {
        (0..yarns.len()).filter(|&at| part(&yarns[at]).to_lowercase() == lower).collect()
    };
    let by_key = those(|yarn| &yarn.key);
    let places = if by_key.is_empty() { those(|yarn| &yarn.name) } else { by_key };
    match places[..] {
        [] => Err(Problem::NotThere),
        [at] => Ok(at),
        _ => Err(Problem::Several(places.iter().map(|&at| yarns[at].key.clone()).collect())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Srgb;

    fn palette() -> Palette {
        let yarn = |key: &str, name: &str| Yarn::plain(key, name, Srgb::new(0, 0, 0));
        Palette::new(vec![
            yarn("b", "Night sky"),
            yarn("moss", "Moss"),
            yarn("moss-2", "Moss"),
            yarn("Oat", ""),
        ])
        .unwrap()
    }

    fn at(named: &str) -> usize {
        on_chart(&palette(), named).unwrap().index()
    }

    #[test]
    fn yarns_are_found_by_key_symbol_and_name() {
        assert_eq!((at("b"), at("B"), at("A"), at("D")), (0, 1, 0, 3));
        assert_eq!((at("night SKY"), at("moss"), at("MOSS-2"), at("oat")), (0, 1, 2, 3));
    }

    #[test]
    fn what_is_not_there_or_not_clear_is_told() {
        let slip = on_chart(&palette(), "rust").unwrap_err();
        assert_eq!(
            (slip.what.as_str(), slip.hint.as_str()),
            ("the chart has no yarn \"rust\"", "it has b, moss, moss-2, Oat")
        );
        let twins: Vec<Yarn> = ["x", "y"].map(|key| Yarn::plain(key, "Sea", Srgb::new(0, 0, 0))).to_vec();
        let failure = in_list(&twins, "sea", "--keep").unwrap_err();
        assert_eq!(failure.faults[0].hint, "say which by its key: x or y");
        let failure = in_list(&twins, "x,y", "--keep").unwrap_err();
        assert_eq!(failure.faults[0].hint, "repeat the option for each: --keep x --keep y");
    }
}
