//! The reading half: stamps a frame as soon as it is read, decodes it, admits it, hands it on.

use super::super::kernel::Ends;
use super::super::rates::{Rate, rate};
use super::timing::Timing;
use super::{Answer, Ended, Role};
use crate::lesson::connection::FromSeat;
use crate::lesson::hub::Hub;
use crate::limits::web::{FRAMES_BURST, FRAMES_PER_SECOND};
use futures_util::{Stream, StreamExt};
use governor::Quota;
use handround_protocol::close::Close;
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::id::Nonce;
use handround_protocol::message::{SeatSays, ToServer};
use handround_protocol::time::Micros;
use std::convert::Infallible;
use tokio::sync::mpsc;
use tokio::task::yield_now;
use tokio_tungstenite::tungstenite::{Error, Message};

/// The frames of one socket.
pub trait Frames: Stream<Item = Result<Message, Error>> + Unpin {}
impl<T: Stream<Item = Result<Message, Error>> + Unpin> Frames for T {}

/// What one frame held.
pub enum Heard {
    /// A message.
    Said(ToServer),
    /// An answer to one of our pings.
    Pong(Nonce),
    /// A control frame that tungstenite has dealt with, or a pong to no ping of ours.
    Nothing,
}

/// Reads one socket.
pub struct Reader<'a, F> {
    frames: F,
    codec: Codec,
    hub: &'a Hub,
    rate: Rate,
    direct: Option<Ends>,
}

impl<'a, F: Frames> Reader<'a, F> {
    pub fn new(frames: F, codec: Codec, hub: &'a Hub, direct: Option<Ends>) -> Self {
        let quota = Quota::per_second(FRAMES_PER_SECOND).allow_burst(FRAMES_BURST);
        Reader { frames, codec, hub, rate: rate(quota), direct }
    }

    /// The next frame, with the moment it was read. Control frames count against the rate as well.
    pub async fn hear(&mut self) -> Result<(Heard, Micros), Ended> {
        let frame = self.frames.next().await;
        let arrived = self.hub.now();
        let frame = match frame {
            None => return Err(Ended::Gone),
            Some(Err(error)) => return Err(offence(&error)),
            Some(Ok(frame)) => frame,
        };
        self.rate.check().map_err(|_| Close::TooFrequent)?;
        let payload = match frame {
            Message::Text(text) => Payload::Text(text.as_str().into()),
            Message::Binary(bytes) => Payload::Binary(bytes.into()),
            Message::Pong(payload) => {
                let nonce = payload.as_ref().try_into().map(|bytes| Heard::Pong(Nonce(bytes)));
                return Ok((nonce.unwrap_or(Heard::Nothing), arrived));
            }
            // The stream ends by itself once the close handshake is done.
            Message::Ping(_) | Message::Close(_) | Message::Frame(_) => {
                return Ok((Heard::Nothing, arrived));
            }
        };
        let said = self.codec.decode_to_server(&payload)?;
        Ok((Heard::Said(said), arrived))
    }

    /// Reads until the conversation ends.
    pub async fn run(
        mut self,
        role: &Role,
        timing: &Timing,
        answers: &mpsc::Sender<Answer>,
    ) -> Ended {
        match self.listen(role, timing, answers).await {
            Ok(never) => match never {},
            Err(ended) => ended,
        }
    }

    async fn listen(
        &mut self,
        role: &Role,
        timing: &Timing,
        answers: &mpsc::Sender<Answer>,
    ) -> Result<Infallible, Ended> {
        loop {
            let (heard, arrived) = timing.while_reading(self.hear()).await?;
            timing.heard(arrived);
            let answer = match (heard, role) {
                (Heard::Nothing, _) => None,
                (Heard::Pong(nonce), _) => {
                    let told = timing.pong(nonce, arrived);
                    if let Role::Seat(link) = role {
                        for nonce in told.cues {
                            link.report(FromSeat::CuePinged { nonce, arrived }).await?;
                        }
                        if let Some(sent) = told.race_ping {
                            link.report(FromSeat::RacePinged { sent }).await?;
                        }
                    }
                    None
                }
                (Heard::Said(ToServer::Seat { ask, says }), Role::Seat(seat)) => {
                    if let SeatSays::InView { visible } = says {
                        timing.in_view(visible);
                    }
                    // A tap may have been overtaken by what its kernel acknowledged since.
                    if timing.in_race(arrived) {
                        timing.kernel_order(self.direct.and_then(|ends| ends.look()));
                    }
                    let link = timing.bounds(arrived);
                    seat.report(FromSeat::Says { ask, says, arrived, link }).await?;
                    None
                }
                (Heard::Said(ToServer::Board { ask, says }), Role::Board(teacher, lesson)) => {
                    let done = self.hub.board_says(*teacher, *lesson, says).await;
                    done.err().map(|refusal| Answer::Refused { ask, refusal })
                }
                (Heard::Said(ToServer::Substitute { ask, says }), Role::Substitute(seat)) => {
                    let refusal = self.hub.substitute_says(*seat, says).await.err();
                    refusal.map(|refusal| Answer::Refused { ask, refusal })
                }
                (Heard::Said(ToServer::ClockAsk { device }), _) => {
                    Some(Answer::Clock { device, received: arrived })
                }
                (Heard::Said(ToServer::ClockTold { nonce, received, answered }), Role::Seat(_)) => {
                    timing.clock_told(nonce, received, answered, arrived);
                    None
                }
                // A second `Hello` too.
                (Heard::Said(_), _) => return Err(Ended::Closed(Close::NotAllowed)),
            };
            if let Some(answer) = answer {
                answers.send(answer).await.map_err(|_| Ended::Gone)?;
            }
            // Frames that arrive together must not fill the device's own queue with answers before
            // the writing half has had a turn.
            yield_now().await;
        }
    }
}

/// What an error of the WebSocket itself means.
fn offence(error: &Error) -> Ended {
    match error {
        Error::Capacity(_) => Ended::Closed(Close::TooLarge),
        // A device that vanishes without the close handshake is reported as a protocol error too.
        Error::Protocol(
            tokio_tungstenite::tungstenite::error::ProtocolError::ResetWithoutClosingHandshake,
        ) => Ended::Gone,
        Error::Protocol(_) | Error::Utf8(_) => Ended::Closed(Close::Malformed),
        _ => Ended::Gone,
    }
}
