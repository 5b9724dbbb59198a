//! Values of options, from a word of the command line.

use std::str::FromStr;

use charting::{Crop, Extent};
use ease::{Count, Ease, EaseError};
use formats::LimitSetting;
use model::{Cost, Gauge, Length, Weights};
use pattern::{AmountsError, Day, Margin, Shrinkage};

use crate::measured::SwatchText;
use crate::usage::Slip;

pub(crate) fn weight(text: &str) -> Result<Cost, Slip> {
    Cost::from_str(text).map_err(|error| {
        Slip::new(error, "give stitches, 0 to 10000, with at most three digits after the point")
    })
}

pub(crate) fn tail(text: &str) -> Result<u32, Slip> {
    let most = Weights::MAX_TAIL;
    let hint = format!("give whole stitches, 0 to {most}");
    let cost = Cost::from_str(text).map_err(|error| Slip::new(error, &hint))?;
    let stitches = cost.thousandths() / 1000;
    match u32::try_from(stitches) {
        Ok(_) if cost.thousandths() % 1000 != 0 => {
            Err(Slip::new("a tail is a whole number of stitches", hint))
        }
        Ok(stitches) if stitches <= most => Ok(stitches),
        _ => Err(Slip::new(format!("a tail has at most {most} stitches"), hint)),
    }
}

pub(crate) fn port(text: &str) -> Result<u16, Slip> {
    text.parse().map_err(|_| {
        Slip::new(
            "this is no port",
            "give a whole number up to 65535, above 1023 at best; 0 for any that is free",
        )
    })
}

pub(crate) fn count<N: FromStr>(text: &str) -> Result<N, Slip> {
    text.parse().map_err(|_| {
        Slip::new(format!("{text:?} is no count"), "give a whole number, without a sign or point")
    })
}

pub(crate) fn number(text: &str) -> Result<f64, Slip> {
    text.parse()
        .ok()
        .filter(|number: &f64| number.is_finite())
        .ok_or_else(|| Slip::new(format!("{text:?} is not a number"), "give a number, as 18 or 17.5"))
}

pub(crate) fn swatch(text: &str) -> Result<SwatchText, Slip> {
    text.parse()
}

pub(crate) fn day(text: &str) -> Result<Day, Slip> {
    Day::read(text).ok_or_else(|| {
        Slip::new(
            format!("{text:?} is no day"),
            "write year, month and day with a hyphen between, as 2031-02-28",
        )
    })
}

/// A margin in whole per cent; the sign may stand behind.
pub(crate) fn margin(text: &str) -> Result<Margin, Slip> {
    let number = text.trim().strip_suffix('%').unwrap_or(text).trim();
    let percent = number
        .parse()
        .map_err(|_| Slip::new(format!("{text:?} is no margin"), "give whole per cent, 0 to 100, as 10"))?;
    Margin::percent(percent).map_err(|error| Slip::new(error, error.hint()))
}

/// What a wash takes of width and height.
pub(crate) fn shrinkage(text: &str) -> Result<Shrinkage, Slip> {
    let hint = "give per cent of width and height with an x between, as 3%x5%; below zero where it grows";
    let side = |text: &str| {
        let number = text.trim().strip_suffix('%').unwrap_or(text).trim();
        let percent: f64 =
            number.parse().map_err(|_| Slip::new(format!("{:?} is not a number", text.trim()), hint))?;
        let tenths = (percent * 10.0).round();
        if !tenths.is_finite() || (percent * 10.0 - tenths).abs() > 1e-6 {
            return Err(Slip::new("a shrinkage has one digit after the point", hint));
        }
        #[allow(clippy::cast_possible_truncation)] // saturates, and is judged after
        Ok(tenths as i32)
    };
    let (width, height) =
        text.split_once(['x', 'X', '×']).ok_or_else(|| Slip::new("the height is missing", hint))?;
    Shrinkage::tenths_of_percent(side(width)?, side(height)?)
        .map_err(|error: AmountsError| Slip::new(error, error.hint()))
}

pub(crate) fn limit(text: &str) -> Result<LimitSetting, Slip> {
    if text == "none" {
        return Ok(LimitSetting::NoLimit);
    }
    let number = text.parse().map_err(|_| {
        Slip::new(format!("{text:?} is no limit"), "give a whole number from 0 up, or none for no limit")
    })?;
    Ok(LimitSetting::AtMost(number))
}

pub(crate) fn only_none(text: &str) -> Result<LimitSetting, Slip> {
    if text == "none" {
        return Ok(LimitSetting::NoLimit);
    }
    Err(Slip::new("limits across yarns are not there yet", "leave it out, or say none"))
}

pub(crate) fn gauge(text: &str) -> Result<Gauge, Slip> {
    let hint = match text.split_once(['/', '*', ':', ',']) {
        Some((stitches, rows))
            if stitches.trim().parse::<f64>().is_ok() && rows.trim().parse::<f64>().is_ok() =>
        {
            &format!("write it with an x between: {}x{}", stitches.trim(), rows.trim())
        }
        _ => "give stitches and rows in 10 cm from your swatch, as 14x15",
    };
    let number = |text: &str| match text.trim() {
        "" => Err(Slip::new("a number is missing", hint)),
        text => text.parse::<f64>().map_err(|_| Slip::new(format!("{text:?} is not a number"), hint)),
    };
    let gauge = match text.split_once(['x', 'X', '×']) {
        Some((stitches, rows)) => Gauge::new(number(stitches)?, number(rows)?),
        None => Gauge::from_stitches(number(text)?),
    };
    gauge.map_err(|error| Slip::new(error, hint))
}

/// Column and row, each from 1.
pub(crate) fn place(text: &str) -> Result<(usize, usize), Slip> {
    let number = |text: &str| text.trim().parse().ok().filter(|&number: &usize| number > 0);
    let pair = text.split_once(',').and_then(|(x, y)| number(x).zip(number(y)));
    pair.ok_or_else(|| {
        Slip::new(format!("{text:?} is no place on a chart"), "write column and row from 1 on, as 12,5")
    })
}

pub(crate) fn ease(text: &str) -> Result<Ease, Slip> {
    let slip = |error: &EaseError| Slip::new(error, error.hint());
    match text.parse() {
        Ok(number) => Ease::new(number).map_err(|error| slip(&error)),
        Err(_) => Err(Slip::new(format!("{text:?} is no ease"), EaseError::NoSuchEase(0).hint())),
    }
}

pub(crate) fn choices(text: &str) -> Result<Count, Slip> {
    Count::new(count(text)?).map_err(|error| Slip::new(&error, error.hint()))
}

/// Longest side of a picture.
pub(crate) fn pixels(text: &str) -> Result<u32, Slip> {
    let bounds = 16..=4096;
    count(text).ok().filter(|pixels| bounds.contains(pixels)).ok_or_else(|| {
        Slip::new(format!("{text:?} is no size of a picture"), "give whole pixels, 16 to 4096")
    })
}

pub(crate) fn crop(text: &str) -> Result<Crop, Slip> {
    text.parse().map_err(|error: charting::CropError| Slip::new(&error, error.hint()))
}

pub(crate) fn extent(text: &str) -> Result<Extent, Slip> {
    let slip = |what: String| {
        Slip::new(what, "give a length with its unit, as 110cm or 43.5in, or stitches, as 138st")
    };
    let text = text.trim();
    let unit_at = text.find(|letter: char| letter.is_alphabetic() || letter == '"' || letter == '″');
    let unit_at = unit_at.ok_or_else(|| slip("a unit is missing".to_owned()))?;
    let (number, unit) = (text[..unit_at].trim(), text[unit_at..].to_ascii_lowercase());
    let length: f64 = number.parse().map_err(|_| slip(format!("{number:?} is not a number")))?;
    match unit.as_str() {
        "cm" => Ok(Extent::Length(Length::cm(length))),
        "in" | "inch" | "inches" | "\"" | "″" => Ok(Extent::Length(Length::inches(length))),
        // No stitches at all: that it is too few is said where sizes are judged.
        "st" if number.strip_prefix('-').is_some_and(|n| n.parse::<u32>().is_ok()) => Ok(Extent::Stitches(0)),
        "st" => {
            number.parse().map(Extent::Stitches).map_err(|_| slip("stitches are a whole number".to_owned()))
        }
        _ => Err(slip(format!("{unit:?} is not a unit"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_have_units() {
        assert_eq!(extent("110cm"), Ok(Extent::Length(Length::cm(110.0))));
        assert_eq!(extent("43.5 in"), Ok(Extent::Length(Length::inches(43.5))));
        assert_eq!(extent("138st"), Ok(Extent::Stitches(138)));
        assert_eq!(extent("43IN"), Ok(Extent::Length(Length::inches(43.0))));
        assert_eq!(extent("43\""), Ok(Extent::Length(Length::inches(43.0))));
        for bad in ["", "110", "cm", "1.5st", "-xst", "nancm", "infcm", "1e9cm", "3ft", "110,5cm", "é"] {
            assert!(extent(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn gauges_may_leave_the_rows_out() {
        assert_eq!(gauge("14x15"), Ok(Gauge::new(14.0, 15.0).unwrap()));
        assert!(gauge("14").unwrap().rows_estimated());
        for bad in ["", "x", "14x", "0x15", "14x0", "1000", "14x15x16"] {
            assert!(gauge(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_gauge_written_otherwise_is_told_how() {
        for text in ["13/15", "13 / 15", "13:15", "13,15"] {
            assert_eq!(gauge(text).unwrap_err().hint, "write it with an x between: 13x15", "{text}");
        }
        assert_eq!(gauge("13 x 15"), gauge("13x15"));
    }

    #[test]
    fn places_count_from_one() {
        assert_eq!(place("12, 5"), Ok((12, 5)));
        for bad in ["", "5", "0,5", "5,0", "-1,5", "a,b", "1,2,3"] {
            assert!(place(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn shrinkage_is_of_both_sides() {
        assert_eq!(shrinkage("3%x5%"), Ok(Shrinkage::tenths_of_percent(30, 50).unwrap()));
        assert_eq!(shrinkage("2.5 x -1"), Ok(Shrinkage::tenths_of_percent(25, -10).unwrap()));
        for bad in ["", "3", "3x", "x3", "0.25x1", "51x0", "nanx0", "1e9x0", "3x5x1"] {
            assert!(shrinkage(bad).is_err(), "{bad}");
        }
        assert_eq!(margin("15%").unwrap().as_percent(), 15);
        for bad in ["", "%", "-1", "10.5", "101", "500"] {
            assert!(margin(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn tails_are_whole() {
        assert_eq!(tail("5"), Ok(5));
        assert_eq!(tail("5.000"), Ok(5));
        for bad in ["5.5", "-1", "51", "x"] {
            assert!(tail(bad).is_err(), "{bad}");
        }
    }
}
