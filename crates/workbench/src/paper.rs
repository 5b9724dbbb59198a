//! The pattern to print and to take away.

use booklet::{Booklet, Passing, Told, booklet};
use pattern::Shrinkage;

use crate::making::Reckoned;
use crate::{BlanketId, Failure, Handed, Terms, Workbench};

/// What a person wishes of the pattern on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PaperWish {
    /// Who made it; may be empty.
    pub by: String,
    /// A note for the first page; may be empty, may have lines.
    pub note: String,
    /// Whose picture it is; may be empty.
    pub picture_by: String,
    /// What may be done with the pattern.
    pub passing: Passing,
    /// The paper.
    pub sheet: Sheet,
    /// Whether the printer has black ink alone.
    pub black: bool,
    /// Whether the print is large.
    pub large: bool,
    /// Whether there are tags to cut out.
    pub tags: bool,
    /// Whether the ends are listed.
    pub ends: bool,
}

impl Default for PaperWish {
    fn default() -> Self {
        Self {
            by: String::new(),
            note: String::new(),
            picture_by: String::new(),
            passing: Passing::NotSaid,
            sheet: Sheet::A4,
            black: false,
            large: false,
            tags: true,
            ends: true,
        }
    }
}

/// Sizes of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Sheet {
    /// 210 by 297 mm.
    #[default]
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl PaperWish {
    /// The longest line, and the longest note, in characters.
    const MOST: (usize, usize) = (200, 4_000);

    /// Refuses what is too long to be set.
    pub(crate) fn check(&self) -> Result<(), Failure> {
        let (line, note) = Self::MOST;
        for (text, most, place) in [
            (&self.by, line, "who made it"),
            (&self.picture_by, line, "whose picture it is"),
            (&self.note, note, "the note"),
        ] {
            let length = text.chars().count();
            if length > most {
                let what = format!("this has {length} characters, the most is {most}");
                return Err(Failure::bad(what, place, "say it in fewer words"));
            }
        }
        Ok(())
    }
}

impl Workbench {
    /// The whole pattern as one page of HTML that needs no network.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn take_away(&self, id: BlanketId) -> Result<Handed, Failure> {
        let (name, reckoned) = self.named_and_reckoned(id)?;
        let page = with_booklet(&name, &reckoned, typeset::take_away);
        Ok(Handed {
            name: format!("{}.html", file_name(&name)),
            media_type: "text/html; charset=utf-8",
            bytes: page.into_bytes(),
        })
    }

    fn named_and_reckoned(&self, id: BlanketId) -> Result<(String, Reckoned), Failure> {
        let reckoned = self.reckoned(id)?;
        Ok((self.store.blanket(id)?.name, reckoned))
    }
}

fn file_name(name: &str) -> String {
    match crate::words::safe(name) {
        name if name.is_empty() => "pattern".to_owned(),
        name => name,
    }
}

fn with_booklet<T>(name: &str, reckoned: &Reckoned, look: impl FnOnce(&Booklet<'_>) -> T) -> T {
    let Reckoned { proven, basis, choices, edge, pace, units, kept, .. } = reckoned;
    let (of_stitches, of_ends) = edge.hours(pace);
    let time = pattern::time(proven, pace, of_stitches + of_ends);
    let making = &kept.making;
    let shrinkage =
        making.shrinkage.and_then(|(width, height)| Shrinkage::tenths_of_percent(width, height).ok());
    look(&booklet(&Told {
        proven,
        basis,
        choices,
        time: &time,
        border: edge.worked(),
        shrinkage,
        title: name,
        by: &making.paper.by,
        note: &making.paper.note,
        picture_by: &making.paper.picture_by,
        passing: making.paper.passing,
        terms: match reckoned.terms {
            Terms::Us => pattern::Terms::Us,
            Terms::Uk => pattern::Terms::Uk,
        },
        units: *units,
    }))
}

#[cfg(feature = "pages")]
mod pages {
    use std::sync::{Mutex, PoisonError};

    use pattern::Units;
    use typeset::{Ink, Pages, PagesError, Paper, Print};

    use super::{PaperWish, Sheet, file_name, with_booklet};
    use crate::{BlanketId, Failure, Handed, Revision, Terms, Workbench};

    /// What decides how the pages look.
    type Key = (BlanketId, Revision, Terms, Units);

    /// The pages that were laid out last.
    #[derive(Default)]
    pub(crate) struct Laid(Mutex<Option<(Key, Pages)>>);

    impl Workbench {
        /// How many pages the pattern has on paper, and the revision they are of.
        ///
        /// # Errors
        /// When there is no such blanket, its chart is too large to print, or the shelf can't be read.
        pub fn pages(&self, id: BlanketId) -> Result<(usize, Revision), Failure> {
            self.laid(id, |_, revision, pages| Ok((pages.count(), revision)))
        }

        /// A page to look at, as an SVG; the first is 1.
        ///
        /// # Errors
        /// As [`Workbench::pages`], and when there is no such page.
        pub fn page(&self, id: BlanketId, number: usize) -> Result<Handed, Failure> {
            self.laid(id, |_, _, pages| {
                let page = number.checked_sub(1).and_then(|at| pages.preview(at)).ok_or_else(|| {
                    let what = format!("there is no page {number}, the pages are 1 to {}", pages.count());
                    Failure::new(crate::Kind::NotFound, what, "the pages", "")
                })?;
                Ok(Handed {
                    name: format!("page-{number}.svg"),
                    media_type: "image/svg+xml",
                    bytes: page.into_bytes(),
                })
            })
        }

        /// The whole pattern to print, as a PDF.
        ///
        /// # Errors
        /// As [`Workbench::pages`].
        pub fn printed(&self, id: BlanketId) -> Result<Handed, Failure> {
            self.laid(id, |name, _, pages| {
                let bytes = pages.pdf().map_err(Failure::defect)?;
                let name = format!("{}.pdf", file_name(name));
                Ok(Handed { name, media_type: "application/pdf", bytes })
            })
        }

        /// Does something with the pages of a blanket, laid out anew where they are not those laid out last.
        fn laid<T>(
            &self,
            id: BlanketId,
            look: impl FnOnce(&str, Revision, &Pages) -> Result<T, Failure>,
        ) -> Result<T, Failure> {
            let (name, reckoned) = self.named_and_reckoned(id)?;
            let key = (id, reckoned.revision, reckoned.terms, reckoned.units);
            // Whoever asks meanwhile waits: all of them want the same pages.
            let mut kept = self.laid.0.lock().unwrap_or_else(PoisonError::into_inner);
            let pages = match kept.take() {
                Some((of, pages)) if of == key => pages,
                _ => {
                    let paper = paper(&reckoned.kept.making.paper);
                    let laid = with_booklet(&name, &reckoned, |booklet| typeset::pages(booklet, &paper));
                    laid.map_err(|error| match error {
                        PagesError::TooLarge { .. } => {
                            Failure::bad(error, "the pages", "take the page to take away, or a smaller chart")
                        }
                        PagesError::Picture(_) | PagesError::Typesetting(_) => Failure::defect(error),
                    })?
                }
            };
            let (_, pages) = kept.insert((key, pages));
            look(&name, reckoned.revision, pages)
        }
    }

    const fn paper(wish: &PaperWish) -> Paper {
        Paper {
            sheet: match wish.sheet {
                Sheet::A4 => typeset::Sheet::A4,
                Sheet::Letter => typeset::Sheet::Letter,
            },
            ink: if wish.black { Ink::Black } else { Ink::Colour },
            print: if wish.large { Print::Large } else { Print::Usual },
            ends: wish.ends,
            tags: wish.tags,
        }
    }
}

#[cfg(feature = "pages")]
pub(crate) use pages::Laid;
