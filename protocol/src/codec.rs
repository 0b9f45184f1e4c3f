//! The two subprotocols: the same types as binary frames or as text frames.
//!
//! bincode is pinned to 2.0.1 (see DEVELOPERS.md on RUSTSEC-2025-0141); this file is the only one
//! that names it, so that swapping it means changing two functions here.

use crate::close::Close;
use crate::limits::{
    TO_CLIENT_BYTES_MAX, TO_CLIENT_DECODE_BYTES_MAX, TO_SERVER_BYTES_MAX,
    TO_SERVER_DECODE_BYTES_MAX,
};
use crate::message::{ToClient, ToServer};
use serde::{Serialize, de::DeserializeOwned};

/// A subprotocol of RFC 6455 section 1.9, chosen at the upgrade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Codec {
    /// `handround.v1.bincode`, binary frames.
    Bincode,
    /// `handround.v1.json`, text frames.
    Json,
}

/// One frame's payload.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Payload {
    /// For a binary frame.
    Binary(Vec<u8>),
    /// For a text frame.
    Text(String),
}

/// A message of ours could not be written. It means a type that a codec cannot carry: our fault.
#[derive(Debug, thiserror::Error)]
#[error("a message could not be encoded: {0}")]
pub struct EncodeError(String);

impl Codec {
    /// Both, the one to prefer first.
    pub const ALL: [Codec; 2] = [Codec::Bincode, Codec::Json];

    /// The subprotocol's name in the upgrade.
    pub const fn name(self) -> &'static str {
        match self {
            Codec::Bincode => "handround.v1.bincode",
            Codec::Json => "handround.v1.json",
        }
    }

    /// Finds a subprotocol by its exact name.
    pub fn from_name(name: &str) -> Option<Codec> {
        Codec::ALL.into_iter().find(|codec| codec.name() == name)
    }

    /// Encodes what a device says.
    ///
    /// # Errors
    /// Only for a type that the codec cannot carry.
    pub fn encode_to_server(self, message: &ToServer) -> Result<Payload, EncodeError> {
        self.encode(message)
    }

    /// Encodes what the server says.
    ///
    /// # Errors
    /// Only for a type that the codec cannot carry.
    pub fn encode_to_client(self, message: &ToClient) -> Result<Payload, EncodeError> {
        self.encode(message)
    }

    /// Decodes what a device said.
    ///
    /// # Errors
    /// The close code that the offence deserves.
    pub fn decode_to_server(self, payload: &Payload) -> Result<ToServer, Close> {
        self.decode::<ToServer, TO_SERVER_DECODE_BYTES_MAX>(payload, TO_SERVER_BYTES_MAX)
    }

    /// Decodes what the server said.
    ///
    /// # Errors
    /// The close code that the offence deserves.
    pub fn decode_to_client(self, payload: &Payload) -> Result<ToClient, Close> {
        self.decode::<ToClient, TO_CLIENT_DECODE_BYTES_MAX>(payload, TO_CLIENT_BYTES_MAX)
    }

    fn encode<T: Serialize>(self, message: &T) -> Result<Payload, EncodeError> {
        match self {
            Codec::Bincode => bincode::serde::encode_to_vec(message, bincode::config::standard())
                .map(Payload::Binary)
                .map_err(|error| EncodeError(error.to_string())),
            Codec::Json => serde_json::to_string(message)
                .map(Payload::Text)
                .map_err(|error| EncodeError(error.to_string())),
        }
    }

    /// The frame's size is checked before anything is read, and no byte may be left over.
    fn decode<T: DeserializeOwned, const DECODE_BYTES_MAX: usize>(
        self,
        payload: &Payload,
        bytes_max: usize,
    ) -> Result<T, Close> {
        let length = match payload {
            Payload::Binary(bytes) => bytes.len(),
            Payload::Text(text) => text.len(),
        };
        if length > bytes_max {
            return Err(Close::TooLarge);
        }
        match (self, payload) {
            (Codec::Bincode, Payload::Binary(bytes)) => {
                let config = bincode::config::standard().with_limit::<DECODE_BYTES_MAX>();
                match bincode::serde::decode_from_slice(bytes, config) {
                    Ok((message, read)) if read == bytes.len() => Ok(message),
                    _ => Err(Close::Malformed),
                }
            }
            (Codec::Json, Payload::Text(text)) => {
                serde_json::from_str(text).map_err(|_| Close::Malformed)
            }
            _ => Err(Close::WrongFrameKind),
        }
    }
}
