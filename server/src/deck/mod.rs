//! Deck families, validity and drawing. Pure.
