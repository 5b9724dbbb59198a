//! The part of a picture that is wanted.

use core::fmt;
use core::str::FromStr;

/// A place or an extent along a picture's side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// Whole pixels.
    Pixels(u32),
    /// Hundredths of the side, 0 to 100.
    Percent(f64),
}

impl Measure {
    /// Pixels along a side of so many.
    fn along(self, side: f64) -> f64 {
        match self {
            Self::Pixels(pixels) => f64::from(pixels),
            Self::Percent(percent) => side * percent / 100.0,
        }
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pixels(pixels) => pixels.fmt(f),
            Self::Percent(percent) => write!(f, "{percent}%"),
        }
    }
}

/// A rectangle of a picture, from its top left corner. Written `X,Y,WxH`, each a number of pixels
/// or, with `%`, of hundredths of that side: `120,40,800x600`, `10%,0,80%x100%`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crop {
    /// From the left edge.
    pub x: Measure,
    /// From the top edge.
    pub y: Measure,
    /// Its width.
    pub width: Measure,
    /// Its height.
    pub height: Measure,
}

/// A rectangle of a picture in pixels, edges between pixels allowed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// From the left edge.
    pub x: f64,
    /// From the top edge.
    pub y: f64,
    /// Its width, above 0.
    pub width: f64,
    /// Its height, above 0.
    pub height: f64,
}

/// Why a text or rectangle is no crop of a picture.
#[derive(Clone, Debug, PartialEq)]
pub enum CropError {
    /// Not of the form `X,Y,WxH`.
    Form(String),
    /// Less than a pixel wide or high.
    Nothing(Crop),
    /// It reaches over the picture's edge.
    Outside {
        /// What was asked for.
        crop: Crop,
        /// The picture's width in pixels.
        width: usize,
        /// Its height.
        height: usize,
    },
}

impl fmt::Display for CropError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(text) => write!(f, "{text:?} is not a crop of the form X,Y,WxH"),
            Self::Nothing(crop) => write!(f, "the crop {crop} leaves nothing of the picture"),
            Self::Outside { crop, width, height } => {
                write!(f, "the crop {crop} reaches outside the picture, which is {width} by {height} pixels")
            }
        }
    }
}

impl std::error::Error for CropError {}

impl CropError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Form(_) => "write it in pixels, as 120,40,800x600, or in percent, as 10%,0%,80%x100%",
            Self::Nothing(_) => "give a width and a height of at least one pixel",
            Self::Outside { .. } => "X plus W must stay within the width, Y plus H within the height",
        }
    }
}

impl fmt::Display for Crop {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{},{},{}x{}", self.x, self.y, self.width, self.height)
    }
}

impl FromStr for Crop {
    type Err = CropError;

    fn from_str(text: &str) -> Result<Self, CropError> {
        let form = || CropError::Form(text.to_owned());
        let parts: Vec<&str> = text.split(',').collect();
        let &[x, y, size] = parts.as_slice() else { return Err(form()) };
        let (width, height) = size.split_once(['x', '×']).ok_or_else(form)?;
        let measure = |word: &str| -> Result<Measure, CropError> {
            let word = word.trim();
            let Some(percent) = word.strip_suffix('%') else {
                return word.parse().map(Measure::Pixels).map_err(|_| form());
            };
            let percent: f64 = percent.trim().parse().map_err(|_| form())?;
            if percent.is_finite() && percent >= 0.0 { Ok(Measure::Percent(percent)) } else { Err(form()) }
        };
        Ok(Self { x: measure(x)?, y: measure(y)?, width: measure(width)?, height: measure(height)? })
    }
}

impl Crop {
    /// The rectangle in a picture of that size, its edges brought to whole pixels.
    ///
    /// # Errors
    /// When it reaches outside or holds less than a pixel.
    #[allow(clippy::cast_precision_loss)] // sides are far below 2^52
    pub fn area(&self, width: usize, height: usize) -> Result<Area, CropError> {
        let edges = |from: Measure, extent: Measure, side: f64| {
            let start = from.along(side);
            (libm::round(start), libm::round(start + extent.along(side)))
        };
        let (left, right) = edges(self.x, self.width, width as f64);
        let (top, bottom) = edges(self.y, self.height, height as f64);
        // A percentage that is not a number fails here as well.
        let inside = left >= 0.0 && top >= 0.0 && right <= width as f64 && bottom <= height as f64;
        if !inside {
            return Err(CropError::Outside { crop: *self, width, height });
        }
        if right <= left || bottom <= top {
            return Err(CropError::Nothing(*self));
        }
        Ok(Area { x: left, y: top, width: right - left, height: bottom - top })
    }
}

impl Area {
    /// All of a picture.
    #[must_use]
    #[allow(clippy::cast_precision_loss)]
    pub fn whole(width: usize, height: usize) -> Self {
        Self { x: 0.0, y: 0.0, width: width as f64, height: height as f64 }
    }

    /// The largest rectangle of these proportions (width over height) with the same centre.
    #[must_use]
    pub fn cut_to(self, proportions: f64) -> Self {
        let (width, height) = if self.width > self.height * proportions {
            (self.height * proportions, self.height)
        } else {
            (self.width, self.width / proportions)
        };
        Self {
            x: self.x + (self.width - width) / 2.0,
            y: self.y + (self.height - height) / 2.0,
            width,
            height,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(text: &str) -> Result<Area, CropError> {
        text.parse::<Crop>()?.area(200, 100)
    }

    #[test]
    fn reads_pixels_and_percent() {
        assert_eq!(area("10,20,30x40"), Ok(Area { x: 10.0, y: 20.0, width: 30.0, height: 40.0 }));
        assert_eq!(area("10%, 0 ,50%x100"), Ok(Area { x: 20.0, y: 0.0, width: 100.0, height: 100.0 }));
        assert_eq!(area("0,0,100%×100%"), Ok(Area::whole(200, 100)));
        assert_eq!("10%,0,50%x100".parse::<Crop>().unwrap().to_string(), "10%,0,50%x100");
    }

    #[test]
    fn refuses_what_is_no_crop() {
        for text in [
            "",
            "1,2,3",
            "1,2,3x",
            "1,2,3x4,5",
            "-1,0,5x5",
            "a,b,cxd",
            "0,0,1e99x1",
            "0,0,NaN%x5",
            "1,2,-3%x4",
        ] {
            assert!(matches!(area(text), Err(CropError::Form(_))), "{text}");
        }
        for text in ["0,0,201x10", "190,0,20x10", "0,0,10x101", "60%,0,50%x10", "4294967295,0,4294967295x1"] {
            assert!(matches!(area(text), Err(CropError::Outside { .. })), "{text}");
        }
        for text in ["0,0,0x10", "0,0,10x0%", "0,0,0.1%x10"] {
            assert!(matches!(area(text), Err(CropError::Nothing(_))), "{text}");
        }
    }

    #[test]
    fn a_cut_keeps_the_centre() {
        let cut = Area::whole(200, 100).cut_to(1.0);
        assert_eq!(cut, Area { x: 50.0, y: 0.0, width: 100.0, height: 100.0 });
        assert_eq!(cut.cut_to(2.0), Area { x: 50.0, y: 25.0, width: 100.0, height: 50.0 });
    }
}
