//! Reads a deck written as TOML: a name, codes and an accent, then one `[[group]]` after another with
//! its `meaning` and its `faces`.

use super::draft::{Draft, DraftFace, DraftGroup, Written, line_at, shortened, text_of};
use super::error::{OwnDeckError, OwnFault};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// What a deck file may say.
const SETTINGS: &str = "name, standards, local_codes, accent and group";
const GROUP_SETTINGS: &str = "meaning and faces in each group";
const PICTURE_SETTINGS: &str = "picture and word in a face in braces";

/// Reads it.
pub(super) fn read(file: &[u8]) -> Result<Draft, OwnDeckError> {
    let text = text_of(file)?;
    let table = DeTable::parse(text).map_err(|error| {
        let place = error.span().map_or(0, |span| span.start);
        let why = shortened(error.message());
        OwnDeckError {
            line: Some(line_at(text.as_bytes(), place)),
            fault: OwnFault::NotToml { why },
        }
    })?;
    let reader = Reader { text };
    let mut draft = Draft::default();
    for (key, value) in table.get_ref() {
        match key.get_ref().as_ref() {
            "name" => draft.name = Some(reader.text("name", value)?),
            "standards" => draft.standards = reader.texts("standards", value)?,
            "local_codes" => draft.local_codes = reader.texts("local_codes", value)?,
            "accent" => draft.accent = Some(reader.text("accent", value)?),
            "group" => {
                let groups = value.get_ref().as_array().ok_or_else(|| {
                    reader.wrong(value, "group", "written as [[group]], once for each group")
                })?;
                draft.groups =
                    groups.iter().map(|group| reader.group(group)).collect::<Result<_, _>>()?;
            }
            other => return Err(reader.unknown(key, other, SETTINGS)),
        }
    }
    Ok(draft)
}

struct Reader<'a> {
    text: &'a str,
}

impl Reader<'_> {
    fn line<T>(&self, of: &Spanned<T>) -> u32 {
        line_at(self.text.as_bytes(), of.span().start)
    }

    fn no<T>(&self, at: &Spanned<T>, fault: OwnFault) -> OwnDeckError {
        OwnDeckError { line: Some(self.line(at)), fault }
    }

    fn wrong<T>(&self, at: &Spanned<T>, name: &'static str, wanted: &'static str) -> OwnDeckError {
        self.no(at, OwnFault::WrongSetting { name, wanted })
    }

    fn unknown<T>(&self, at: &Spanned<T>, name: &str, allowed: &'static str) -> OwnDeckError {
        self.no(at, OwnFault::UnknownSetting { name: shortened(name), allowed })
    }

    fn text(
        &self,
        name: &'static str,
        value: &Spanned<DeValue<'_>>,
    ) -> Result<Written<String>, OwnDeckError> {
        let text = value
            .get_ref()
            .as_str()
            .ok_or_else(|| self.wrong(value, name, "a text in quotation marks"))?;
        Ok(Written { line: self.line(value), is: text.to_owned() })
    }

    fn texts(
        &self,
        name: &'static str,
        value: &Spanned<DeValue<'_>>,
    ) -> Result<Vec<Written<String>>, OwnDeckError> {
        let wanted = "a list of texts, such as [\"RF.K.2.D\"]";
        let list = value.get_ref().as_array().ok_or_else(|| self.wrong(value, name, wanted))?;
        list.iter().map(|text| self.text(name, text)).collect()
    }

    fn group(&self, group: &Spanned<DeValue<'_>>) -> Result<DraftGroup, OwnDeckError> {
        let table = group.get_ref().as_table().ok_or_else(|| {
            self.wrong(group, "group", "written as [[group]], with its meaning and faces below it")
        })?;
        let mut draft =
            DraftGroup { line: self.line(group), meaning: String::new(), faces: Vec::new() };
        for (key, value) in table {
            match key.get_ref().as_ref() {
                "meaning" => draft.meaning = self.text("meaning", value)?.is,
                "faces" => {
                    let wanted = "a list, such as [\"seven\", 7]";
                    let faces = value
                        .get_ref()
                        .as_array()
                        .ok_or_else(|| self.wrong(value, "faces", wanted))?;
                    draft.faces =
                        faces.iter().map(|face| self.face(face)).collect::<Result<_, _>>()?;
                }
                other => return Err(self.unknown(key, other, GROUP_SETTINGS)),
            }
        }
        Ok(draft)
    }

    fn face(&self, face: &Spanned<DeValue<'_>>) -> Result<Written<DraftFace>, OwnDeckError> {
        let is = match face.get_ref() {
            DeValue::String(text) => DraftFace::of_text(text.as_ref().to_owned()),
            DeValue::Integer(number) => {
                let digits = number.as_str();
                let value = i64::from_str_radix(digits, number.radix()).map_err(|_| {
                    self.no(face, OwnFault::NumberOutOfRange { number: shortened(digits) })
                })?;
                DraftFace::Number(value)
            }
            DeValue::Table(table) => {
                let (mut name, mut word) = (None, None);
                for (key, value) in table {
                    match key.get_ref().as_ref() {
                        "picture" => name = Some(self.text("picture", value)?.is),
                        "word" => word = Some(self.text("word", value)?.is),
                        other => return Err(self.unknown(key, other, PICTURE_SETTINGS)),
                    }
                }
                let name = name.ok_or_else(|| self.no(face, OwnFault::NoFace))?;
                DraftFace::Picture { name, word }
            }
            _ => return Err(self.no(face, OwnFault::NoFace)),
        };
        Ok(Written { line: self.line(face), is })
    }
}
