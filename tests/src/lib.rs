//! What the tests of whole games share.
