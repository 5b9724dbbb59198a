//! Stray stitches: small areas are given to what surrounds them.

use std::collections::{BTreeMap, BTreeSet};

use crate::grid::Grid;
use crate::{EditError, MAX_STRAY, Region};

/// An area of one yarn, connected by sides.
#[derive(Default)]
struct Area {
    yarn: u8,
    stitches: usize,
    /// Its first cell.
    first: usize,
    /// Whether all of it lies in the region.
    inside: bool,
    /// How many sides it shares with which other area.
    borders: BTreeMap<usize, usize>,
}

struct Areas {
    areas: Vec<Area>,
    /// The area that each one has become part of; itself where it still is one.
    part_of: Vec<usize>,
    below: usize,
    /// Those to be given away: stitches, first cell, and which.
    stray: BTreeSet<(usize, usize, usize)>,
}

pub(crate) fn clean(grid: &mut Grid, below: usize, region: Region) -> Result<(), EditError> {
    if !(2..=MAX_STRAY).contains(&below) {
        return Err(EditError::Stray(below));
    }
    let (mut areas, area_of) = Areas::of(grid, below, region);
    while let Some((_, _, stray)) = areas.stray.pop_first() {
        areas.give_away(stray);
    }
    for (cell, area) in grid.cells.iter_mut().zip(area_of) {
        let whole = areas.whole(area);
        *cell = areas.areas[whole].yarn;
    }
    Ok(())
}

impl Areas {
    /// The areas of a grid, and the area of each cell.
    fn of(grid: &Grid, below: usize, region: Region) -> (Self, Vec<usize>) {
        let mut areas: Vec<Area> = Vec::new();
        let mut area_of = vec![usize::MAX; grid.cells.len()];
        let mut open = Vec::new();
        for first in 0..grid.cells.len() {
            if area_of[first] != usize::MAX {
                continue;
            }
            let (yarn, which) = (grid.cells[first], areas.len());
            let mut area = Area { yarn, first, inside: true, ..Area::default() };
            area_of[first] = which;
            open.push(first);
            while let Some(at) = open.pop() {
                area.stitches += 1;
                area.inside &= region.holds((at % grid.columns, at / grid.columns));
                for other in grid.beside(at) {
                    if grid.cells[other] == yarn && area_of[other] == usize::MAX {
                        area_of[other] = which;
                        open.push(other);
                    }
                }
            }
            areas.push(area);
        }
        for at in 0..grid.cells.len() {
            for other in grid.beside(at) {
                if area_of[other] != area_of[at] {
                    *areas[area_of[at]].borders.entry(area_of[other]).or_default() += 1;
                }
            }
        }
        let part_of = (0..areas.len()).collect();
        let mut all = Self { areas, part_of, below, stray: BTreeSet::new() };
        (0..all.areas.len()).for_each(|which| all.note(which));
        (all, area_of)
    }

    /// Notes an area where it is to be given away.
    fn note(&mut self, which: usize) {
        let area = &self.areas[which];
        if area.inside && area.stitches < self.below {
            self.stray.insert((area.stitches, area.first, which));
        }
    }

    /// The area that one is part of by now; ways are made shorter as they are gone.
    fn whole(&mut self, mut which: usize) -> usize {
        while self.part_of[which] != which {
            self.part_of[which] = self.part_of[self.part_of[which]];
            which = self.part_of[which];
        }
        which
    }

    /// Gives an area to the yarn that it shares most of its border with.
    fn give_away(&mut self, stray: usize) {
        let mut sides: BTreeMap<u8, usize> = BTreeMap::new();
        for (&other, &count) in &self.areas[stray].borders {
            *sides.entry(self.areas[other].yarn).or_default() += count;
        }
        // Of equals the last is taken: from behind, that is the first of the palette.
        let Some((&yarn, _)) = sides.iter().rev().max_by_key(|&(_, count)| count) else { return };
        let borders = self.areas[stray].borders.keys().copied();
        let joined: Vec<usize> = borders.filter(|&other| self.areas[other].yarn == yarn).collect();
        self.areas[stray].yarn = yarn;
        let whole = joined.into_iter().fold(stray, |whole, other| self.unite(whole, other));
        self.note(whole);
    }

    /// Makes one of two areas of one yarn. The one with fewer neighbours becomes part of the other, so
    /// that no neighbour is told more often than the logarithm of their number.
    fn unite(&mut self, one: usize, other: usize) -> usize {
        let more = self.areas[one].borders.len() >= self.areas[other].borders.len();
        let (whole, part) = if more { (one, other) } else { (other, one) };
        for which in [whole, part] {
            let area = &self.areas[which];
            self.stray.remove(&(area.stitches, area.first, which));
        }
        let gone = core::mem::take(&mut self.areas[part]);
        for (&neighbour, &sides) in &gone.borders {
            self.areas[neighbour].borders.remove(&part);
            if neighbour != whole {
                *self.areas[neighbour].borders.entry(whole).or_default() += sides;
                *self.areas[whole].borders.entry(neighbour).or_default() += sides;
            }
        }
        let area = &mut self.areas[whole];
        area.stitches += gone.stitches;
        area.first = area.first.min(gone.first);
        area.inside &= gone.inside;
        self.part_of[part] = whole;
        whole
    }
}
