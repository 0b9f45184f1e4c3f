//! Why the server closes a socket: offences against the protocol, never refusals of a move.

use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A close code with its meaning. 1000 to 1015 are from RFC 6455 section 7.4.1 and the registry it
/// founds; 4000 and up are ours, in the range that RFC 6455 section 7.4.2 leaves to applications.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[ts(export)]
pub enum Close {
    /// 1001: the server is stopping; come back soon.
    GoingAway,
    /// 1003: a text frame on the binary subprotocol, or the other way round.
    WrongFrameKind,
    /// 1007: the frame cannot be decoded, or bytes were left over.
    Malformed,
    /// 1008: messages came faster than any child taps.
    TooFrequent,
    /// 1009: the frame is larger than `limits::TO_SERVER_BYTES_MAX`.
    TooLarge,
    /// 1011: a broken invariant stopped the table; it is rebuilt from its journal.
    TableStopped,
    /// 4001: the first message was not `Hello`, or none came in time.
    HelloExpected,
    /// 4002: no such seat, wall or board, or it was withdrawn.
    UnknownCredential,
    /// 4003: this connection may not say that (a pupil's device spoke to the board, say).
    NotAllowed,
    /// 4004: a newer device took this seat.
    NewerDevice,
    /// 4005: the device read too slowly and its queue was full; it may return at once.
    TooSlow,
    /// 4006: the lesson has ended.
    LessonOver,
    /// 4007: the child sits at another table now; the same secret leads there.
    Moved,
}

impl Close {
    /// The code as it stands in the close frame.
    pub const fn code(self) -> u16 {
        match self {
            Close::GoingAway => 1001,
            Close::WrongFrameKind => 1003,
            Close::Malformed => 1007,
            Close::TooFrequent => 1008,
            Close::TooLarge => 1009,
            Close::TableStopped => 1011,
            Close::HelloExpected => 4001,
            Close::UnknownCredential => 4002,
            Close::NotAllowed => 4003,
            Close::NewerDevice => 4004,
            Close::TooSlow => 4005,
            Close::LessonOver => 4006,
            Close::Moved => 4007,
        }
    }

    /// One plain sentence for the close frame, under its 123 bytes.
    pub const fn reason(self) -> &'static str {
        match self {
            Close::GoingAway => "the server is stopping",
            Close::WrongFrameKind => "this subprotocol uses the other kind of frame",
            Close::Malformed => "the message could not be read",
            Close::TooFrequent => "too many messages in a short time",
            Close::TooLarge => "the message is too large",
            Close::TableStopped => "this table stopped and is being rebuilt",
            Close::HelloExpected => "say hello first",
            Close::UnknownCredential => "this link is not known here",
            Close::NotAllowed => "this device may not say that",
            Close::NewerDevice => "another device took this seat",
            Close::TooSlow => "this device reads too slowly",
            Close::LessonOver => "the lesson is over",
            Close::Moved => "this child sits at another table now",
        }
    }
}
