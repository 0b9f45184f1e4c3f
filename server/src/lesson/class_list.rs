//! The class list file: one line a pupil with a nickname, optionally a picture, a readiness, whether it
//! plays at home, and the nicknames of children to be kept apart from. Pure: bytes in, a list or one plain sentence
//! out, and the same list as bytes again. It knows nothing of tables, and nothing of a child
//! beyond these.

use super::groups::Apart;
use crate::csv_row::cells;
use handround_protocol::id::PupilIndex;
use handround_protocol::join::HttpRefusal;
use handround_protocol::limits::{CLASS_LIST_BYTES_MAX, NICKNAME_CHARS_MAX, PUPILS_MAX, SEATS_MAX};
use handround_protocol::picture::{Picture, THINGS};
use serde::{Deserialize, Serialize};
use unicode_normalization::UnicodeNormalization as _;

/// How ready a child is for the skill, by the teacher's judgement: 1 (beginning) to 3 (sure).
/// Sensitive: it stays on the server and in the teacher's own reports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Readiness(pub u8);

impl Readiness {
    /// The steps that a class list may name.
    pub const STEPS: std::ops::RangeInclusive<u8> = 1..=3;
    /// What a child without one counts as when groups are made.
    pub const MIDDLE: Readiness = Readiness(2);
}

/// One pupil of the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pupil {
    /// The nickname.
    pub name: String,
    /// The picture by which the child finds the own place.
    pub picture: Picture,
    /// Never leaves the server.
    pub readiness: Option<Readiness>,
    /// The child plays at home. Told to the teacher's own pages alone, never to a child's device.
    #[serde(default)]
    pub at_home: bool,
}

/// A whole list.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClassList {
    /// In the order of the file.
    pub pupils: Vec<Pupil>,
    /// Who should not sit together, each pair once, in order. Never leaves the server either.
    pub apart: Vec<Apart>,
}

impl ClassList {
    /// A list that marks nobody as being at home says nothing of it: the marks of before stay.
    pub fn keep_marks_of(&mut self, before: &ClassList) {
        if self.pupils.iter().any(|pupil| pupil.at_home) {
            return;
        }
        for pupil in &mut self.pupils {
            let known = before.pupils.iter().find(|one| spoken(&one.name) == spoken(&pupil.name));
            pupil.at_home = known.is_some_and(|one| one.at_home);
        }
    }
}

/// Why a class list was refused. Lines count from 1.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[allow(missing_docs)] // Each sentence says what its variant means; `line` is where.
pub enum ClassListError {
    #[error("The file is larger than {} KiB. A class list is one short line for each child.", CLASS_LIST_BYTES_MAX / 1024)]
    FileTooLarge,
    #[error("The class list is empty. Write one nickname on each line.")]
    Empty,
    #[error("Line {line} cannot be read as UTF-8 text. Save the list as CSV in UTF-8.")]
    NotText { line: u32 },
    #[error(
        "Line {line} has a column called \"{column}\". Only nickname, picture, readiness, home and \
         apart are kept."
    )]
    UnknownColumn { line: u32, column: String },
    #[error(
        "Line {line} has more columns than nickname, picture, readiness and who is kept apart."
    )]
    TooManyColumns { line: u32 },
    #[error("Line {line} has no nickname.")]
    NoNickname { line: u32 },
    #[error("The nickname on line {line} is longer than {NICKNAME_CHARS_MAX} letters.")]
    NicknameTooLong { line: u32 },
    #[error("The nickname on line {line} holds a sign that cannot be shown.")]
    NicknameUnshowable { line: u32 },
    #[error(
        "\"{name}\" stands on line {first} and again on line {line}. Give one of them another nickname."
    )]
    DuplicateNickname { line: u32, first: u32, name: String },
    #[error("There is no picture called \"{name}\" (line {line}).")]
    UnknownPicture { line: u32, name: String },
    #[error("The picture \"{name}\" stands on line {first} and again on line {line}.")]
    DuplicatePicture { line: u32, first: u32, name: String },
    #[error("The readiness on line {line} must be 1, 2 or 3, or left out.")]
    BadReadiness { line: u32 },
    #[error("Home on line {line} must be yes or no, or left out.")]
    BadHome { line: u32 },
    #[error(
        "Line {line} keeps a child apart from \"{name}\", but nobody on the list is called so."
    )]
    UnknownApart { line: u32, name: String },
    #[error("The child on line {line} cannot be kept apart from itself.")]
    ApartFromItself { line: u32 },
    #[error("Line {line} is one child too many: a class list holds up to {PUPILS_MAX}.")]
    TooManyPupils { line: u32 },
}

impl ClassListError {
    /// The line it is about, counted from 1.
    pub fn line(&self) -> Option<u32> {
        use ClassListError::*;
        match *self {
            FileTooLarge | Empty => None,
            NotText { line }
            | UnknownColumn { line, .. }
            | TooManyColumns { line }
            | NoNickname { line }
            | NicknameTooLong { line }
            | NicknameUnshowable { line }
            | DuplicateNickname { line, .. }
            | UnknownPicture { line, .. }
            | DuplicatePicture { line, .. }
            | BadReadiness { line }
            | BadHome { line }
            | UnknownApart { line, .. }
            | ApartFromItself { line }
            | TooManyPupils { line } => Some(line),
        }
    }
}

impl From<ClassListError> for HttpRefusal {
    fn from(error: ClassListError) -> HttpRefusal {
        HttpRefusal { message: error.to_string(), line: error.line() }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Column {
    Nickname,
    Picture,
    Readiness,
    Home,
    Apart,
}

/// Without a line that names columns; a child can be kept apart from as many as a table seats.
fn usual_columns() -> Vec<Column> {
    let apart = std::iter::repeat_n(Column::Apart, SEATS_MAX - 1);
    [Column::Nickname, Column::Picture, Column::Readiness].into_iter().chain(apart).collect()
}

/// A line before pictures are given out.
struct Line {
    number: u32,
    name: String,
    picture: Option<Picture>,
    readiness: Option<Readiness>,
    at_home: bool,
    apart: Vec<String>,
}

/// Reads a class list. Commas, semicolons or tabs separate the columns; a first line that names
/// columns may stand or not. Pupils without a picture get one that nobody has; a list longer than
/// the pictures repeats those given out first.
///
/// # Errors
/// The first thing that is wrong, with its line.
pub fn read(file: &[u8]) -> Result<ClassList, ClassListError> {
    if file.len() > CLASS_LIST_BYTES_MAX {
        return Err(ClassListError::FileTooLarge);
    }
    let text = std::str::from_utf8(file).map_err(|error| {
        let breaks = file[..error.valid_up_to()].iter().filter(|byte| **byte == b'\n').count();
        ClassListError::NotText { line: line_number(breaks) }
    })?;
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n").replace('\r', "\n");
    let mut rows = text
        .split('\n')
        .enumerate()
        .filter(|(_, row)| !row.trim().is_empty())
        .map(|(index, row)| (line_number(index), row))
        .peekable();
    let Some((first_line, first_row)) = rows.peek().copied() else {
        return Err(ClassListError::Empty);
    };
    let separator = [b',', b';', b'\t']
        .into_iter()
        .find(|separator| first_row.as_bytes().contains(separator))
        .unwrap_or(b',');
    let columns = match header(&cells(first_row, separator), first_line)? {
        Some(columns) => {
            rows.next();
            columns
        }
        None => usual_columns(),
    };
    let mut lines: Vec<Line> = Vec::new();
    for (number, row) in rows {
        let line = line(number, &cells(row, separator), &columns)?;
        check_unique(&line, &lines)?;
        if lines.len() == PUPILS_MAX {
            return Err(ClassListError::TooManyPupils { line: number });
        }
        lines.push(line);
    }
    if lines.is_empty() {
        return Err(ClassListError::Empty);
    }
    let apart = find_apart(&lines)?;
    Ok(ClassList { pupils: give_pictures(lines), apart })
}

/// The list as a file that [`read`] reads: CSV as in RFC 4180, each pair at the line that comes
/// first. It begins with a byte order mark, by which spreadsheets know UTF-8. A picture that is
/// given out a second time, past the last one, is left out there.
pub fn write(list: &ClassList) -> Vec<u8> {
    let apart_from = |one: usize| {
        let pairs = list.apart.iter().map(|pair| pair.both().map(|pupil| usize::from(pupil.0)));
        let others = pairs.filter(move |pair| pair[0] == one).map(|pair| pair[1]);
        others.filter_map(|other| list.pupils.get(other)).map(|other| other.name.clone())
    };
    let most = (0..list.pupils.len()).map(|one| apart_from(one).count()).max().unwrap_or(0);
    // A class whose children are all in the room has no column for it.
    let home = list.pupils.iter().any(|pupil| pupil.at_home);
    let mut rows = vec![["nickname", "picture", "readiness"].map(str::to_owned).to_vec()];
    rows[0].extend(home.then(|| "home".to_owned()));
    rows[0].extend(std::iter::repeat_n("apart".to_owned(), most));
    for (one, pupil) in list.pupils.iter().enumerate() {
        let repeated = list.pupils[..one].iter().any(|other| other.picture == pupil.picture);
        let picture = if repeated { String::new() } else { pupil.picture.name() };
        let readiness = pupil.readiness.map(|step| step.0.to_string()).unwrap_or_default();
        let at_home = home.then(|| if pupil.at_home { "yes" } else { "" }.to_owned());
        let row = [pupil.name.clone(), picture, readiness].into_iter().chain(at_home);
        let row = row.chain(apart_from(one));
        let padded = row.chain(std::iter::repeat(String::new())).take(rows[0].len());
        rows.push(padded.collect());
    }
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{feff}".as_bytes().to_vec());
    // Rows have one length and a vector always takes more, so nothing can go wrong.
    rows.iter().for_each(|row| drop(writer.write_record(row)));
    writer.into_inner().unwrap_or_default()
}

/// A late-comer's line, with a picture that nobody has.
///
/// # Errors
/// What is wrong with the nickname, as for the line of a list.
pub fn late_comer(name: &str, class: &[Pupil]) -> Result<Pupil, ClassListError> {
    let known = class.iter().map(|pupil| Line {
        number: 0,
        name: pupil.name.clone(),
        picture: Some(pupil.picture),
        readiness: pupil.readiness,
        at_home: pupil.at_home,
        apart: Vec::new(),
    });
    let mut lines: Vec<Line> = known.collect();
    let new = line(1, &[name.trim().to_owned()], &[Column::Nickname])?;
    check_unique(&new, &lines)?;
    if lines.len() >= PUPILS_MAX {
        return Err(ClassListError::TooManyPupils { line: 1 });
    }
    lines.push(new);
    give_pictures(lines).pop().ok_or(ClassListError::Empty)
}

fn line_number(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX - 1) + 1
}

/// The columns, if the first row names them: its first or second field is one of our names.
fn header(fields: &[String], line: u32) -> Result<Option<Vec<Column>>, ClassListError> {
    let column = |field: &String| match field.to_lowercase().as_str() {
        "nickname" | "name" => Some(Column::Nickname),
        "picture" => Some(Column::Picture),
        "readiness" => Some(Column::Readiness),
        "home" => Some(Column::Home),
        "apart" => Some(Column::Apart),
        _ => None,
    };
    if !fields.iter().any(|field| column(field) == Some(Column::Nickname)) {
        return Ok(None);
    }
    let columns: Result<Vec<Column>, _> = fields
        .iter()
        .map(|field| {
            column(field)
                .ok_or_else(|| ClassListError::UnknownColumn { line, column: field.clone() })
        })
        .collect();
    columns.map(Some)
}

fn line(number: u32, fields: &[String], columns: &[Column]) -> Result<Line, ClassListError> {
    let extra = fields.iter().skip(columns.len()).any(|field| !field.is_empty());
    if extra {
        return Err(ClassListError::TooManyColumns { line: number });
    }
    let field = |wanted: Column| {
        let place = columns.iter().position(|column| *column == wanted)?;
        fields.get(place).map(String::as_str).filter(|field| !field.is_empty())
    };
    let name = field(Column::Nickname).ok_or(ClassListError::NoNickname { line: number })?;
    let name = whole_letters(name);
    if name.chars().count() > NICKNAME_CHARS_MAX {
        return Err(ClassListError::NicknameTooLong { line: number });
    }
    if name.chars().any(unshowable) {
        return Err(ClassListError::NicknameUnshowable { line: number });
    }
    let picture = match field(Column::Picture) {
        None => None,
        Some(name) => Some(Picture::from_name(name).ok_or_else(|| {
            ClassListError::UnknownPicture { line: number, name: shortened(name) }
        })?),
    };
    let readiness = match field(Column::Readiness) {
        None => None,
        Some(step) => match step.parse() {
            Ok(step) if Readiness::STEPS.contains(&step) => Some(Readiness(step)),
            _ => return Err(ClassListError::BadReadiness { line: number }),
        },
    };
    let at_home = match field(Column::Home).map(str::to_lowercase).as_deref() {
        None | Some("no") => false,
        Some("yes") => true,
        Some(_) => return Err(ClassListError::BadHome { line: number }),
    };
    let apart = columns.iter().zip(fields).filter(|(column, _)| **column == Column::Apart);
    let apart = apart.map(|(_, name)| name.clone()).filter(|name| !name.is_empty()).collect();
    Ok(Line { number, name, picture, readiness, at_home, apart })
}

/// Letters with their marks as single characters where Unicode has them (normal form C), however the list
/// was saved: one name is then spelt in one way, and as long as it looks.
fn whole_letters(text: &str) -> String {
    text.nfc().collect()
}

/// Control characters, and the marks of Unicode that turn the direction of text around (UAX #9),
/// which could make one name read like another.
fn unshowable(sign: char) -> bool {
    sign.is_control()
        || matches!(sign, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A wrong entry may be anything; a sentence shows its beginning.
fn shortened(entry: &str) -> String {
    entry.chars().filter(|sign| !unshowable(*sign)).take(NICKNAME_CHARS_MAX).collect()
}

/// A nickname as children hear it: two that sound the same are one.
pub fn spoken(name: &str) -> String {
    whole_letters(name).split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn find_apart(lines: &[Line]) -> Result<Vec<Apart>, ClassListError> {
    let index = |place: usize| PupilIndex(u16::try_from(place).unwrap_or(u16::MAX));
    let mut pairs = Vec::new();
    for (place, Line { number, apart, .. }) in lines.iter().enumerate() {
        for name in apart {
            let other = lines.iter().position(|other| spoken(&other.name) == spoken(name));
            let other = other.ok_or_else(|| ClassListError::UnknownApart {
                line: *number,
                name: shortened(name),
            })?;
            let pair = Apart::new(index(place), index(other));
            pairs.push(pair.ok_or(ClassListError::ApartFromItself { line: *number })?);
        }
    }
    pairs.sort_unstable();
    pairs.dedup();
    Ok(pairs)
}

fn check_unique(line: &Line, earlier: &[Line]) -> Result<(), ClassListError> {
    if let Some(same) = earlier.iter().find(|other| spoken(&other.name) == spoken(&line.name)) {
        return Err(ClassListError::DuplicateNickname {
            line: line.number,
            first: same.number,
            name: line.name.clone(),
        });
    }
    let Some(picture) = line.picture else { return Ok(()) };
    match earlier.iter().find(|other| other.picture == Some(picture)) {
        None => Ok(()),
        Some(same) => Err(ClassListError::DuplicatePicture {
            line: line.number,
            first: same.number,
            name: picture.name(),
        }),
    }
}

fn give_pictures(lines: Vec<Line>) -> Vec<Pupil> {
    let chosen: Vec<Picture> = lines.iter().filter_map(|line| line.picture).collect();
    let mut free = THINGS
        .into_iter()
        .filter(|picture| !chosen.contains(picture))
        .chain(THINGS.into_iter().cycle());
    let picture = |line: &Line| line.picture.or_else(|| free.next()).unwrap_or(THINGS[0]);
    let pictures: Vec<Picture> = lines.iter().map(picture).collect();
    let pupil = |(line, picture): (Line, Picture)| Pupil {
        name: line.name,
        picture,
        readiness: line.readiness,
        at_home: line.at_home,
    };
    lines.into_iter().zip(pictures).map(pupil).collect()
}

#[cfg(test)]
#[path = "class_list_tests.rs"]
mod tests;
