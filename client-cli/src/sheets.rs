//! Face sheets, loaded once and shared by all seats of this process.

use crate::http::Http;
use anyhow::Context as _;
use handround_protocol::face::FaceSheet;
use handround_protocol::id::{DeckId, GroupIndex};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Face sheets by deck; all seats of a process share what was loaded.
#[derive(Clone)]
pub struct Sheets {
    http: Http,
    known: Arc<Mutex<BTreeMap<DeckId, Arc<Sheet>>>>,
}

/// A face sheet with the groups as the brain wants them.
pub struct Sheet {
    /// All faces.
    pub faces: FaceSheet,
    /// The match group of each face.
    pub groups: Vec<GroupIndex>,
}

impl Sheets {
    /// Nothing is loaded yet.
    pub fn new(http: Http) -> Sheets {
        Sheets { http, known: Arc::default() }
    }

    /// Puts a sheet there by hand, for tests without HTTP.
    #[cfg(test)]
    pub fn with(self, faces: FaceSheet) -> Sheets {
        let sheet = Arc::new(Sheet { groups: Vec::new(), faces });
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.insert(sheet.faces.deck, sheet);
        drop(known);
        self
    }

    /// The sheet, loaded once.
    pub async fn get(&self, deck: DeckId) -> anyhow::Result<Arc<Sheet>> {
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner).get(&deck).cloned();
        if let Some(sheet) = known {
            return Ok(sheet);
        }
        let faces = self.http.faces(deck).await.context("the faces could not be loaded")?;
        let groups = faces.faces.iter().map(|face| face.group).collect();
        let sheet = Arc::new(Sheet { faces, groups });
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(known.entry(deck).or_insert(sheet).clone())
    }
}
