//! Days of the calendar, as people write them: counted from the first of January 1970.

use crate::Day;

/// Days in the years 1 to 1969.
const BEFORE_1970: i64 = 719_162;

const fn is_leap(year: i64) -> bool {
    year % 4 == 0 && (year % 100 != 0 || year % 400 == 0)
}

const fn days_in(year: i64, month: usize) -> i64 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Days from the first of January of year 1 to that of another year.
const fn before(year: i64) -> i64 {
    let years = year - 1;
    years * 365 + years / 4 - years / 100 + years / 400
}

impl Day {
    /// A day as YYYY-MM-DD (ISO 8601), counted from the first of January 1970; `None` where there is no
    /// such day.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let parts: Vec<&str> = text.trim().split('-').collect();
        let [year, month, day] = parts[..] else { return None };
        let digits =
            |text: &str, length| text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit());
        if !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
            return None;
        }
        let (year, month, day): (i64, usize, i64) =
            (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
        if year == 0 || !(1..=12).contains(&month) || !(1..=days_in(year, month)).contains(&day) {
            return None;
        }
        let months: i64 = (1..month).map(|month| days_in(year, month)).sum();
        Some(Self(before(year) + months + day - 1 - BEFORE_1970))
    }

    /// A day as it is written, where it is counted from the first of January 1970; from the year 1 on.
    #[must_use]
    pub fn written(self) -> String {
        let mut left = self.0.saturating_add(BEFORE_1970).max(0);
        let mut year = left / 366 + 1;
        while before(year + 1) <= left {
            year += 1;
        }
        left -= before(year);
        let mut month = 1;
        while left >= days_in(year, month) {
            left -= days_in(year, month);
            month += 1;
        }
        format!("{year:04}-{month:02}-{:02}", left + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sources: 1970-01-01 is day 0 of POSIX time, 2000-01-01 its second 946,684,800 and 2001-09-09
    /// the day of its second 1,000,000,000 (MEM).
    #[test]
    fn days_are_those_of_the_calendar() {
        assert_eq!(Day::read("1970-01-01"), Some(Day(0)));
        assert_eq!(Day::read("2000-01-01"), Some(Day(946_684_800 / 86_400)));
        assert_eq!(Day::read("2001-09-09"), Some(Day(1_000_000_000 / 86_400)));
        assert_eq!(Day::read("2000-02-29").map(Day::written).as_deref(), Some("2000-02-29"));
        for bad in ["", "2030-02-29", "1900-02-29", "2030-13-01", "2030-00-10", "2030-04-31", "2030-1-5"] {
            assert_eq!(Day::read(bad), None, "{bad}");
        }
        for bad in
            ["30-01-05", "05.01.2030", "2030-01-00", "0000-01-01", "2030-01-05-1", "+030-01-05", "tomorrow"]
        {
            assert_eq!(Day::read(bad), None, "{bad}");
        }
    }

    #[test]
    fn days_are_written_as_they_are_read() {
        for day in (-719_162..2_900_000).step_by(97).map(Day) {
            assert_eq!(Day::read(&day.written()), Some(day));
        }
    }
}
