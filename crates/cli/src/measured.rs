//! A swatch in words, as `28 st = 20 cm, 30 rows = 20 cm, 39 g`.

use std::str::FromStr;

use pattern::{Counted, LengthUnit, SwatchYarn, WeightUnit};

use crate::usage::Slip;

const HINT: &str = "write it as \"28 st = 20 cm, 30 rows = 20 cm, 39 g\": a comma between two things, \
                    what you did not measure left out";

/// What a person wrote of a swatch. Whether it can be is judged elsewhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct SwatchText {
    pub(crate) stitches: Counted,
    pub(crate) rows: Option<Counted>,
    pub(crate) yarn: Option<SwatchYarn>,
    /// Stitches in a row and rows of the whole swatch.
    pub(crate) whole: Option<(u32, u32)>,
}

/// One of the things between the commas.
enum Part {
    Stitches(Counted),
    Rows(Counted),
    Yarn(SwatchYarn),
    Whole(u32, u32),
}

impl FromStr for SwatchText {
    type Err = Slip;

    fn from_str(text: &str) -> Result<Self, Slip> {
        let (mut stitches, mut rows, mut yarn, mut whole) = (None, None, None, None);
        for part in text.split([',', ';']) {
            let again = match read(part)? {
                Part::Stitches(counted) => stitches.replace(counted).is_some(),
                Part::Rows(counted) => rows.replace(counted).is_some(),
                Part::Yarn(taken) => yarn.replace(taken).is_some(),
                Part::Whole(across, up) => whole.replace((across, up)).is_some(),
            };
            if again {
                return Err(Slip::new(format!("{:?} is there a second time", part.trim()), HINT));
            }
        }
        let stitches = stitches.ok_or_else(|| Slip::new("the stitches are missing", HINT))?;
        if whole.is_some() && yarn.is_none() {
            return Err(Slip::new("what the whole swatch took is missing", HINT));
        }
        Ok(Self { stitches, rows, yarn, whole })
    }
}

fn read(part: &str) -> Result<Part, Slip> {
    let slip = |what: String| Slip::new(what, HINT);
    let words = words(part);
    let number = |word: &str| {
        let number: Option<f64> = word.parse().ok().filter(|number: &f64| number.is_finite());
        number.ok_or_else(|| slip(format!("{word:?} is not a number, in {:?}", part.trim())))
    };
    let whole_number = |word: &str| {
        let number = word.parse::<u32>();
        number.map_err(|_| slip(format!("{word:?} is no whole number, in {:?}", part.trim())))
    };
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        [] => Err(slip("there is nothing between two commas".to_owned())),
        ["whole", across, "x" | "×" | "by", up] => Ok(Part::Whole(whole_number(across)?, whole_number(up)?)),
        [amount, unit] => {
            let amount = number(amount)?;
            let yarn = match unit {
                "g" | "gram" | "grams" => SwatchYarn::Weighed(WeightUnit::Grams.times(amount)),
                "oz" | "ounce" | "ounces" => SwatchYarn::Weighed(WeightUnit::Ounces.times(amount)),
                "m" | "metre" | "metres" | "meter" | "meters" => {
                    SwatchYarn::Measured(LengthUnit::Metres.times(amount))
                }
                "yd" | "yds" | "yard" | "yards" => SwatchYarn::Measured(LengthUnit::Yards.times(amount)),
                _ if is_stitches(unit) || is_rows(unit) => {
                    return Err(slip(format!("over how much is missing, in {:?}", part.trim())));
                }
                _ => return Err(slip(format!("{unit:?} is neither a weight nor a length of yarn"))),
            };
            if amount < 0.0 {
                return Err(slip(format!("{amount} is no amount of yarn")));
            }
            Ok(Part::Yarn(yarn))
        }
        [count, what, "=" | "in" | "over" | "on" | "per", ref over @ ..] => {
            let (over, unit) = match over {
                [unit] if words[2] == "per" => (1.0, *unit),
                [over, unit] => (number(over)?, *unit),
                _ => return Err(slip(format!("over how much is not clear, in {:?}", part.trim()))),
            };
            let unit = match unit {
                "cm" => LengthUnit::Centimetres,
                "in" | "inch" | "inches" | "\"" | "″" => LengthUnit::Inches,
                _ => return Err(slip(format!("{unit:?} is no unit of a swatch: cm or in is"))),
            };
            let counted = Counted { count: number(count)?, over, unit };
            match what {
                _ if is_stitches(what) => Ok(Part::Stitches(counted)),
                _ if is_rows(what) => Ok(Part::Rows(counted)),
                _ => Err(slip(format!("{what:?} is neither st nor rows"))),
            }
        }
        _ => Err(slip(format!("{:?} is not understood", part.trim()))),
    }
}

fn is_stitches(word: &str) -> bool {
    ["st", "sts", "sc", "stitch", "stitches"].contains(&word)
}

fn is_rows(word: &str) -> bool {
    ["r", "row", "rows"].contains(&word)
}

/// Numbers, words and signs, in small letters, with or without spaces between.
fn words(part: &str) -> Vec<String> {
    #[derive(PartialEq)]
    enum Kind {
        Number,
        Word,
        Sign,
    }
    let kind = |letter: char| match letter {
        '0'..='9' | '.' | '-' | '+' => Kind::Number,
        _ if letter.is_alphabetic() => Kind::Word,
        _ => Kind::Sign,
    };
    let mut words: Vec<String> = Vec::new();
    let mut open = None;
    for letter in part.chars().flat_map(char::to_lowercase) {
        if letter.is_whitespace() {
            open = None;
            continue;
        }
        let kind = kind(letter);
        match words.last_mut().filter(|_| open.as_ref() == Some(&kind)) {
            Some(word) => word.push(letter),
            None => words.push(letter.to_string()),
        }
        open = Some(kind);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    const CM: LengthUnit = LengthUnit::Centimetres;
    const INCHES: LengthUnit = LengthUnit::Inches;

    fn of(text: &str) -> SwatchText {
        text.parse().unwrap_or_else(|slip| panic!("{text}: {slip}"))
    }

    #[test]
    fn swatches_are_read_as_people_write_them() {
        let swatch = of("28 st = 20 cm, 30 rows = 20 cm, 39 g");
        assert_eq!(swatch.stitches, Counted { count: 28.0, over: 20.0, unit: CM });
        assert_eq!(swatch.rows, Some(Counted { count: 30.0, over: 20.0, unit: CM }));
        assert_eq!(swatch.yarn, Some(SwatchYarn::Weighed(WeightUnit::Grams.times(39.0))));
        assert_eq!(of("30rows=20cm;39g;28sts=20cm"), swatch);
        let swatch = of("14.5 sc in 4 in, 15 Rows over 4\", 12 yd, whole 20 x 21");
        assert_eq!(swatch.stitches, Counted { count: 14.5, over: 4.0, unit: INCHES });
        assert_eq!(swatch.rows, Some(Counted { count: 15.0, over: 4.0, unit: INCHES }));
        assert_eq!(swatch.yarn, Some(SwatchYarn::Measured(LengthUnit::Yards.times(12.0))));
        assert_eq!(swatch.whole, Some((20, 21)));
        assert_eq!(of("3.5 st per inch").stitches, Counted { count: 3.5, over: 1.0, unit: INCHES });
        assert_eq!(of("0 st = 20 cm").stitches, Counted { count: 0.0, over: 20.0, unit: CM });
    }

    #[test]
    fn what_is_no_swatch_is_told() {
        for (text, word) in [
            ("", "nothing between"),
            ("28 st = 20 cm,", "nothing between"),
            ("28", "not understood"),
            ("28 st", "over how much is missing"),
            ("28 st =", "over how much is not clear"),
            ("28 st = cm", "over how much is not clear"),
            ("28 st = 20 mm", "\"mm\" is no unit"),
            ("28 dc = 20 cm", "\"dc\" is neither"),
            ("x st = 20 cm", "\"x\" is not a number"),
            ("1..5 st = 20 cm", "\"1..5\" is not a number"),
            ("30 rows = 20 cm", "the stitches are missing"),
            ("28 st = 20 cm, 28 st = 20 cm", "a second time"),
            ("28 st = 20 cm, 19 lb", "\"lb\" is neither a weight"),
            ("28 st = 20 cm, -19 g", "no amount of yarn"),
            ("28 st = 20 cm, whole 3.5 x 4", "\"3.5\" is no whole number"),
            ("28 st = 20 cm, whole 30 x 40", "what the whole swatch took"),
            ("28 st = 20 cm 30 rows = 20 cm", "not clear"),
        ] {
            let slip = text.parse::<SwatchText>().unwrap_err();
            assert!(slip.what.contains(word), "{text}: {slip}");
        }
    }
}
