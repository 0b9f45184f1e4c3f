//! One row of a separated text file, as class lists and teachers' own decks have them. Pure.

/// The cells of a row, trimmed. Each row is read by itself, so that a stray quotation mark spoils one
/// row and not the count.
pub fn cells(row: &str, separator: u8) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .delimiter(separator)
        .trim(csv::Trim::All)
        .from_reader(row.as_bytes());
    match reader.records().next() {
        Some(Ok(record)) => record.iter().map(str::to_owned).collect(),
        // The text is UTF-8 and one row has one length, so nothing else can go wrong.
        _ => Vec::new(),
    }
}
