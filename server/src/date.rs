//! A day and a time of day as a teacher reads them. Pure: the moment and the place's distance from Greenwich are
//! arguments.

use handround_protocol::time::Micros;

/// Minutes by which clocks at the teacher's place are ahead of Greenwich; behind it if negative.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MinutesEast(i32);

/// From Baker Island to Kiribati (the time zone database, from memory).
const MINUTES_EAST_RANGE: std::ops::RangeInclusive<i32> = -12 * 60..=14 * 60;
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl MinutesEast {
    /// `None` for a place that is not on Earth.
    pub fn new(minutes: i32) -> Option<MinutesEast> {
        MINUTES_EAST_RANGE.contains(&minutes).then_some(MinutesEast(minutes))
    }

    /// As an address holds it.
    pub fn minutes(self) -> i32 {
        self.0
    }
}

/// Minutes since 1970 by the clocks there.
fn minutes(at: Micros, east: MinutesEast) -> i64 {
    i64::try_from(at.0 / 60_000_000).unwrap_or(i64::MAX / 2) + i64::from(east.0)
}

/// Such as `9:05`, of 24 hours.
pub fn time(at: Micros, east: MinutesEast) -> String {
    let of_day = minutes(at, east).rem_euclid(24 * 60);
    format!("{}:{:02}", of_day / 60, of_day % 60)
}

/// Such as `26 November 2026`.
pub fn day(at: Micros, east: MinutesEast) -> String {
    let minutes = minutes(at, east);
    let (year, month, day) = civil(minutes.div_euclid(24 * 60));
    let month = MONTHS.get(month).copied().unwrap_or_default();
    format!("{day} {month} {year}")
}

/// Year, month from 0 and day of the month, days after 1 January 1970 in the Gregorian calendar. The
/// year begins in March here, so that the leap day is its last; 400 years have 146,097 days.
fn civil(days: i64) -> (i64, usize, i64) {
    let days = days + 719_468;
    let era = days.div_euclid(146_097);
    let of_era = days.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    // Months from March on have 31, 30, 31, 30, 31 days over and over: 153 in five.
    let month = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month + 2) / 5 + 1;
    let month = (month + 2) % 12;
    let year = year_of_era + era * 400 + i64::from(month < 2);
    (year, usize::try_from(month).unwrap_or(0), day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Days as Python's `datetime.date.fromordinal` counts them, checked by running it.
    #[test]
    fn days_are_those_of_the_calendar() {
        let of_days = |days: u64| day(Micros(days * 86_400_000_000), MinutesEast::default());
        for (days, text) in [
            (0, "1 January 1970"),
            (789, "29 February 1972"),
            (11_016, "29 February 2000"),
            (11_017, "1 March 2000"),
            (20_783, "26 November 2026"),
            (47_540, "28 February 2100"),
            (47_541, "1 March 2100"),
        ] {
            assert_eq!(of_days(days), text);
        }
    }

    #[test]
    fn a_lesson_in_the_morning_is_on_its_own_day_far_east() {
        let evening = Micros(20_783 * 86_400_000_000 + 20 * 3_600_000_000);
        let auckland = MinutesEast::new(13 * 60).unwrap_or_default();
        assert_eq!(day(evening, auckland), "27 November 2026");
        assert_eq!(time(evening, auckland), "9:00");
        let before_1970 = MinutesEast::new(-5 * 60).unwrap_or_default();
        assert_eq!(time(Micros::from_s(61), before_1970), "19:01");
        assert_eq!(MinutesEast::new(15 * 60), None);
    }
}
