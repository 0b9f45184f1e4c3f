//! Every bound of the wire, each with its reason. Bounds of the server's own rooms stand in
//! `server/src/limits.rs`.

/// The largest frame or message a device may send, in bytes. The longest honest message is a grab
/// claim, under 200 bytes of JSON; 4 KiB leaves room and keeps a hostile class cheap.
pub const TO_SERVER_BYTES_MAX: usize = 4 * 1024;

/// The largest message the server sends over a socket, in bytes: a teacher's board of ten tables.
/// Face sheets are larger and travel over HTTP.
pub const TO_CLIENT_BYTES_MAX: usize = 128 * 1024;

/// What bincode may claim in memory while decoding. It counts integers at their width in memory,
/// about eight times their encoded size (dependencies note, measured).
pub const TO_SERVER_DECODE_BYTES_MAX: usize = 8 * TO_SERVER_BYTES_MAX;

/// The same for messages that reach a device.
pub const TO_CLIENT_DECODE_BYTES_MAX: usize = 8 * TO_CLIENT_BYTES_MAX;

/// Fewest seats of a table: a game needs somebody to pass to.
pub const SEATS_MIN: usize = 2;
/// Most seats of a table: more do not reach one middle (design, section 1).
pub const SEATS_MAX: usize = 6;
/// Cards in a hand; also how many alike win.
pub const HAND_CARDS: usize = 4;
/// Fewest cards of a match group, since any four of one group must be possible.
pub const GROUP_CARDS_MIN: usize = 4;
/// Most cards of a match group (design, section 1).
pub const GROUP_CARDS_MAX: usize = 12;
/// Most match groups of a deck: 13 are usual, and a face sheet must stay small enough to load
/// before the first deal on a school's Wi-Fi.
pub const GROUPS_MAX: usize = 40;
/// Most groups that a teacher's wishes for a deck may keep or leave out, and most kinds of face: the
/// largest deck, and every group of the largest family that a page would offer for swapping.
pub const WISHED_GROUPS_MAX: usize = 120;
/// Most cards that her wishes may keep or leave out: every card of the largest deck of fours.
pub const WISHED_CARDS_MAX: usize = GROUPS_MAX * GROUP_CARDS_MIN;
/// Longest name of a group or a card in bytes: a picture's or word's name and its kind are under 40.
pub const DECK_KEY_BYTES_MAX: usize = 80;
/// Most characters of a kept deck's name: one line in a list and in the margin of a print sheet.
pub const DECK_NAME_CHARS_MAX: usize = 60;
/// Most faces that an onlooker gets to sort: as many as a small screen shows large enough.
pub const SORTING_FACES_MAX: usize = 12;
/// Kind pictures that one child who watches may send between two rounds: enough to be seen, too few to
/// drum with.
pub const CHEERS_EACH_MAX: usize = 3;
/// Fewest letters of a `letters` word.
pub const WORD_LETTERS_MIN: usize = 3;
/// Most letters of a `letters` word.
pub const WORD_LETTERS_MAX: usize = 6;
/// Most names on a class list: a year group, not a school.
pub const PUPILS_MAX: usize = 60;
/// Longest nickname in characters, so that it fits under a picture in large print.
pub const NICKNAME_CHARS_MAX: usize = 20;
/// Largest class list file in bytes: sixty names need about 2 KiB.
pub const CLASS_LIST_BYTES_MAX: usize = 64 * 1024;
/// Pictures in the row that a child taps to join: short enough for a five-year-old.
pub const JOIN_ROW_PICTURES: usize = 4;

const _: () = assert!(SEATS_MIN < SEATS_MAX && GROUP_CARDS_MIN == HAND_CARDS);
const _: () = assert!(TO_SERVER_BYTES_MAX < TO_CLIENT_BYTES_MAX);
