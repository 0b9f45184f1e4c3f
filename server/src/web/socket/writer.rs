//! The writing half: cues first, then pings at a pace that depends on public facts, then answers
//! and messages in order. Every write is bounded in time; nobody waits for a slow reader.

use super::super::kernel::Ends;
use super::pace::Pace;
use super::timing::Timing;
use super::views::Views;
use super::{Answer, Ended, Role};
use crate::lesson::connection::{FromSeat, OutboxReader, UrgentCue};
use crate::lesson::hub::Hub;
use crate::limits::web::{RACE_LOOK_GAP, RACE_PING_GAP, SILENCE_MAX, WRITE_WAIT};
use futures_util::{Sink, SinkExt};
use handround_protocol::close::Close;
use handround_protocol::codec::{Codec, Payload};
use handround_protocol::id::Nonce;
use handround_protocol::message::{ToClient, Welcome};
use handround_protocol::time::Micros;
use rand_core::{OsRng, TryRngCore};
use std::convert::Infallible;
use tokio::sync::{mpsc, watch};
use tokio::time::{Instant, sleep_until, timeout};
use tokio_tungstenite::tungstenite::{Error, Message};

/// Writes one socket.
pub struct Writer<'a, S> {
    pub sink: S,
    pub codec: Codec,
    pub hub: &'a Hub,
    pub timing: &'a Timing,
    pub role: &'a Role,
    pub direct: Option<Ends>,
}

impl<S: Sink<Message, Error = Error> + Unpin> Writer<'_, S> {
    /// Writes until the conversation ends.
    pub async fn run(
        mut self,
        welcome: Welcome,
        outbox: OutboxReader,
        views: Views,
        answers: mpsc::Receiver<Answer>,
    ) -> Ended {
        match self.speak(welcome, outbox, views, answers).await {
            Ok(never) => match never {},
            Err(ended) => ended,
        }
    }

    async fn speak(
        &mut self,
        welcome: Welcome,
        mut outbox: OutboxReader,
        mut views: Views,
        mut answers: mpsc::Receiver<Answer>,
    ) -> Result<Infallible, Ended> {
        self.say(&ToClient::Welcome(welcome)).await?;
        let mut pace = Pace::new(Instant::now());
        let (mut race_ping_due, mut look_due) = (None, None);
        loop {
            tokio::select! {
                biased;
                why = asked_to_close(&mut outbox.close) => return Err(Ended::Closed(why)),
                Some(cue) = outbox.urgent.recv() => {
                    self.cue(cue).await?;
                    race_ping_due = Some(Instant::now() + RACE_PING_GAP);
                    look_due = self.direct.map(|_| Instant::now() + RACE_LOOK_GAP);
                }
                () = due(race_ping_due) => {
                    race_ping_due = self.race_ping().await?.then(|| Instant::now() + RACE_PING_GAP);
                }
                () = due(look_due) => look_due = self.overdue().then(|| Instant::now() + RACE_LOOK_GAP),
                () = self.timing.woken() => pace.start_over(Instant::now()),
                () = sleep_until(pace.due()) => {
                    self.ping().await?;
                    pace.pinged();
                }
                Some(answer) = answers.recv() => self.answer(answer).await?,
                message = outbox.ordinary.recv() => {
                    let message = message.ok_or(Close::TableStopped)?;
                    pace.says(&message, Instant::now());
                    self.say(&message).await?;
                }
                view = views.next() => self.say(&view?).await?,
            }
        }
    }

    /// The cue's bytes and its own ping's go out in one piece, so that they share one fate on the
    /// way and the pong measures this cue's round trip.
    async fn cue(&mut self, UrgentCue { round, nonce }: UrgentCue) -> Result<(), Ended> {
        let cue = self.frame(&ToClient::Cue { round, nonce })?;
        self.write([cue, ping(nonce)]).await?;
        let sent = self.hub.now();
        let look = self.direct.and_then(|ends| ends.look());
        let link = self.timing.cue_sent(nonce, sent, look);
        if let Role::Seat(seat) = self.role {
            seat.report(FromSeat::CueSent { nonce, sent, link }).await?;
        }
        Ok(())
    }

    async fn ping(&mut self) -> Result<(), Ended> {
        if self.timing.silence(self.hub.now()) > Micros::from_ms(SILENCE_MAX.as_millis() as u64) {
            return Err(Ended::Closed(Close::TooSlow));
        }
        if let Some(nonce) = fresh_nonce() {
            self.write([ping(nonce)]).await?;
            self.timing.ping_sent(nonce, self.hub.now());
        }
        if matches!(self.role, Role::Seat(_)) {
            self.ask_clock().await?;
            // Now the kernel has seen what the last ping made the device send.
            if let Some(least) = self.direct.and_then(|ends| ends.least_round_trip()) {
                self.timing.kernel_says(least);
            }
        }
        Ok(())
    }

    /// Asks for the device's clock at the pace of the pings, beside them, since the page itself
    /// answers this one.
    async fn ask_clock(&mut self) -> Result<(), Ended> {
        if let Some(nonce) = fresh_nonce() {
            self.say(&ToClient::TellClock { nonce }).await?;
            self.timing.clock_asked(nonce, self.hub.now());
        }
        Ok(())
    }

    /// Pings while a race is young, so that the arbiter knows what the device had sent by when. The
    /// pace depends on the time since the cue alone, never on what anybody holds. False once over.
    async fn race_ping(&mut self) -> Result<bool, Ended> {
        if !self.timing.in_race(self.hub.now()) {
            return Ok(false);
        }
        if let Some(nonce) = fresh_nonce() {
            self.write([ping(nonce)]).await?;
            self.timing.race_ping_sent(nonce, self.hub.now());
        }
        self.look();
        Ok(true)
    }

    /// Asks the kernel what the device's has acknowledged, where it may be asked.
    fn look(&self) {
        if let Some(ends) = self.direct {
            match ends.look() {
                Some(look) => self.timing.kernel_looked(look, self.hub.now()),
                None => self.timing.kernel_order(None),
            }
        }
    }

    /// Looks more often while an answer is overdue. False once the race is not young any more.
    fn overdue(&self) -> bool {
        let now = self.hub.now();
        if self.timing.overdue(now) {
            self.look();
        }
        self.timing.in_race(now)
    }

    async fn answer(&mut self, answer: Answer) -> Result<(), Ended> {
        match answer {
            Answer::Refused { ask, refusal } => self.say(&ToClient::Refused { ask, refusal }).await,
            Answer::Clock { device, received } => {
                self.say(&ToClient::Clock { device, received, sent: self.hub.now() }).await
            }
        }
    }

    async fn say(&mut self, message: &ToClient) -> Result<(), Ended> {
        let frame = self.frame(message)?;
        self.write([frame]).await
    }

    fn frame(&self, message: &ToClient) -> Result<Message, Ended> {
        match self.codec.encode_to_client(message) {
            Ok(Payload::Text(text)) => Ok(Message::text(text)),
            Ok(Payload::Binary(bytes)) => Ok(Message::binary(bytes)),
            Err(error) => {
                tracing::error!(%error, "a message of ours cannot be written");
                Err(Ended::Closed(Close::TableStopped))
            }
        }
    }

    /// Puts the frames into one buffer and flushes once.
    async fn write<const N: usize>(&mut self, frames: [Message; N]) -> Result<(), Ended> {
        let writing = async {
            for frame in frames {
                self.sink.feed(frame).await?;
            }
            self.sink.flush().await
        };
        match timeout(WRITE_WAIT, writing).await {
            Ok(Ok(())) => Ok(()),
            Ok(Err(Error::WriteBufferFull(_))) | Err(_) => Err(Ended::Closed(Close::TooSlow)),
            Ok(Err(_)) => Err(Ended::Gone),
        }
    }
}

/// An unguessable payload. A system without randomness cannot measure; the connection goes on
/// unmeasured.
fn fresh_nonce() -> Option<Nonce> {
    let mut bytes = [0; 16];
    OsRng.try_fill_bytes(&mut bytes).ok().map(|()| Nonce(bytes))
}

/// Waits for a moment; for ever, if there is none.
async fn due(moment: Option<Instant>) {
    match moment {
        Some(moment) => sleep_until(moment).await,
        None => std::future::pending().await,
    }
}

fn ping(nonce: Nonce) -> Message {
    Message::Ping(nonce.0.to_vec().into())
}

/// Waits for the lesson to ask; for ever, if it never can again.
async fn asked_to_close(close: &mut watch::Receiver<Option<Close>>) -> Close {
    let why = match close.wait_for(Option::is_some).await {
        Ok(why) => *why,
        Err(_) => None,
    };
    match why {
        Some(why) => why,
        None => std::future::pending().await,
    }
}
