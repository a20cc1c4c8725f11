//! Days and times as they stand in a logbook: `2026-05-03`, or `2026-05-03T14:05:00Z` in universal time.

use jiff::Timestamp;
use jiff::civil::{Date, DateTime};

/// First and last year that a date may have.
pub const YEARS: [i16; 2] = [1900, 2200];

/// What the clock says, to the second, in universal time.
#[must_use]
pub fn now() -> String {
    Timestamp::now().strftime("%Y-%m-%dT%H:%M:%SZ").to_string()
}

/// A day, or a day with a time, as it is stored; `None` of what is none.
///
/// Read are `2026-05-03`, and with a time `2026-05-03 14:05`, with seconds, with a T between and a Z behind; a time is universal time.
#[must_use]
pub fn read(text: &str) -> Option<String> {
    let text = text.trim();
    let in_years = |date: Date| (YEARS[0]..=YEARS[1]).contains(&date.year());
    if let Some(day) = day(text) {
        return Some(day);
    }
    let (date, time) = text.split_once(['T', ' '])?;
    let time = time.strip_suffix('Z').unwrap_or(time);
    let time = if time.len() == 5 { format!("{time}:00") } else { time.to_owned() };
    let shape: Vec<usize> = time.split(':').map(str::len).collect();
    if shape != [2, 2, 2] || time.bytes().any(|byte| !(byte.is_ascii_digit() || byte == b':')) {
        return None;
    }
    let at: DateTime = format!("{}T{time}", day(date)?).parse().ok()?;
    // A leap second would be read as the second before it.
    if time.ends_with("60") || !in_years(at.date()) {
        return None;
    }
    Some(at.strftime("%Y-%m-%dT%H:%M:%SZ").to_string())
}

/// A day as it is stored; `None` of what is none.
#[must_use]
pub fn day(text: &str) -> Option<String> {
    let text = text.trim();
    let shape: Vec<usize> = text.split('-').map(str::len).collect();
    if shape != [4, 2, 2] || text.bytes().any(|byte| !(byte.is_ascii_digit() || byte == b'-')) {
        return None;
    }
    let date: Date = text.parse().ok()?;
    (YEARS[0]..=YEARS[1]).contains(&date.year()).then(|| text.to_owned())
}

/// When a day has ended everywhere, universal time: half a day after it has ended there. `None` of what is no day.
#[must_use]
pub fn ended_everywhere(text: &str) -> Option<String> {
    let next = day(text)?.parse::<Date>().ok()?.tomorrow().ok()?;
    Some(format!("{next}T12:00:00Z"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_ends_last_in_the_farthest_west() {
        assert_eq!(ended_everywhere("2026-12-31").as_deref(), Some("2027-01-01T12:00:00Z"));
        assert_eq!(ended_everywhere("2026-12-31T10:00:00Z"), None);
    }

    #[test]
    fn days_and_times_are_read_in_universal_time() {
        assert_eq!(read(" 2026-05-03 ").as_deref(), Some("2026-05-03"));
        for text in
            ["2026-05-03 14:05", "2026-05-03T14:05:00", "2026-05-03T14:05:00Z", "2026-05-03 14:05:00Z"]
        {
            assert_eq!(read(text).as_deref(), Some("2026-05-03T14:05:00Z"), "{text}");
        }
        assert_eq!(read("2024-02-29").as_deref(), Some("2024-02-29"));
        for text in [
            "",
            "2026",
            "2026-13-01",
            "2026-02-30",
            "2025-02-29",
            "26-05-03",
            "2026-5-3",
            "03.05.2026",
            "1899-12-31",
            "2201-01-01",
            "2026-05-03 24:00",
            "2026-05-03 14:05:60",
            "2026-05-03T14:05:00+02:00",
            "2026-05-03T14",
            "+026-05-03",
            "2026-05-03x14:05",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
        assert_eq!(read(&now()), Some(now()).filter(|at| at.len() == 20));
    }
}
