//! Reads a deck written as CSV, as a spreadsheet saves it: one row a group, its meaning in the first
//! column and a face in each of the others. Rows whose first column ends with a colon are settings.

use super::draft::{Draft, DraftFace, DraftGroup, Written, shortened, text_of};
use super::error::{OwnDeckError, OwnFault};
use crate::csv_row::cells;

/// What rows may set.
const SETTINGS: &str = "name:, standards:, local codes: and accent: in the first column";
/// Reads it.
pub(super) fn read(file: &[u8]) -> Result<Draft, OwnDeckError> {
    let text = text_of(file)?.replace("\r\n", "\n").replace('\r', "\n");
    let rows = (1_u32..).zip(text.split('\n')).filter(|(_, row)| !row.trim().is_empty());
    let separator = separator(&text);
    let mut draft = Draft::default();
    for (line, row) in rows {
        let cells = cells(row, separator);
        let mut filled = cells
            .iter()
            .skip(1)
            .filter(|cell| !cell.is_empty())
            .map(|cell| Written { line, is: cell.clone() });
        let first = cells.first().map(String::as_str).unwrap_or_default();
        match first.strip_suffix(':').map(|name| name.trim().to_lowercase()) {
            Some(name) => match name.as_str() {
                "name" => draft.name = filled.next(),
                "standards" => draft.standards = filled.collect(),
                "local codes" => draft.local_codes = filled.collect(),
                "accent" => draft.accent = filled.next(),
                other => {
                    let fault =
                        OwnFault::UnknownSetting { name: shortened(other), allowed: SETTINGS };
                    return Err(OwnDeckError { line: Some(line), fault });
                }
            },
            // Headings, if a spreadsheet has them.
            None if draft.groups.is_empty() && first.eq_ignore_ascii_case("meaning") => {}
            None => {
                let faces = filled.map(|cell| Written { line, is: face(cell.is) }).collect();
                draft.groups.push(DraftGroup { line, meaning: first.to_owned(), faces });
            }
        }
    }
    Ok(draft)
}

/// Spreadsheets of some countries part columns with semicolons, others with tabs. What stands most
/// often outside quotation marks parts the columns.
fn separator(text: &str) -> u8 {
    let mut counts = [(b',', 0_usize), (b';', 0), (b'\t', 0)];
    let mut quoted = false;
    for byte in text.bytes() {
        quoted ^= byte == b'"';
        if byte == b'\n' {
            quoted = false;
        }
        for (separator, count) in &mut counts {
            *count += usize::from(!quoted && byte == *separator);
        }
    }
    // Of equally frequent ones the first, hence the comma of a file without any.
    counts
        .into_iter()
        .rev()
        .max_by_key(|(_, count)| *count)
        .map_or(b',', |(separator, _)| separator)
}

/// Digits alone are a number.
fn face(cell: String) -> DraftFace {
    match cell.parse() {
        Ok(number) if cell.bytes().all(|digit| digit.is_ascii_digit()) => DraftFace::Number(number),
        _ => DraftFace::of_text(cell),
    }
}
