//! A pupil's device that plays with a practice partner's brain: it loads faces before it plays, shows
//! cues, comes back by itself when the link breaks, and keeps everything that it hears.

use crate::door::{Device, Door, Ended};
use crate::recorder::Tape;
use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::face::FaceSheet;
use handround_protocol::hand::four_alike;
use handround_protocol::id::{Ask, DeckId, GroupIndex, SeatNumber, Token};
use handround_protocol::message::{
    Credential, Grab, GrabCue, Hello, SeatNews, SeatSays, ToClient, ToServer, Welcome,
};
use handround_protocol::partner::{Partner, Temper, Thought};
use handround_protocol::refusal::Refusal;
use handround_protocol::time::Micros;
use handround_protocol::view::{CardView, Phase, SeatView};
use std::time::Duration;
use tokio::time::{Instant, sleep, timeout};

/// Attempts to come back, and the wait between them: a server in debug starts within a minute.
const RETURNS_MAX: u32 = 600;
const RETURN_WAIT: Duration = Duration::from_millis(100);

/// What a device heard, and when.
#[derive(Clone, Debug)]
pub struct Heard {
    /// On the runtime's clock.
    pub at: Instant,
    /// What.
    pub message: ToClient,
}

/// A device with a brain.
pub struct Player {
    /// Where the server listens.
    pub door: Door,
    /// The seat's secret.
    pub token: Token,
    /// The subprotocol.
    pub codec: Codec,
    /// What this seat sees.
    pub view: Option<SeatView>,
    /// The last numbered message.
    pub last: Option<SeatNumber>,
    /// Every byte received, over all connections.
    pub tape: Tape,
    /// Every message received, over all connections.
    pub heard: Vec<Heard>,
    /// Friendly noes.
    pub refusals: Vec<Refusal>,
    /// How often it came back.
    pub returns: u32,
    /// Holds tokens back, for a test that needs a race to stay open.
    pub never_grabs: bool,
    /// Taps a token without a reason after every so many moves.
    pub taps_wrongly_every: Option<u32>,
    /// Takes a move back after every so many.
    pub takes_back_every: Option<u32>,
    moves: u32,
    asked: u32,
    brain: Partner,
    began: Instant,
    device: Option<Device>,
    deck: Option<DeckId>,
    sheet: Option<(DeckId, Vec<GroupIndex>)>,
}

impl Player {
    /// A device that is not connected yet.
    pub fn new(door: Door, codec: Codec, token: Token, seed: u64) -> Player {
        Player {
            door,
            token,
            codec,
            view: None,
            last: None,
            tape: Tape::default(),
            heard: Vec::new(),
            refusals: Vec::new(),
            returns: 0,
            never_grabs: false,
            taps_wrongly_every: None,
            takes_back_every: None,
            moves: 0,
            asked: 0,
            brain: Partner::new(Temper::QUICK, seed),
            began: Instant::now(),
            device: None,
            deck: None,
            sheet: None,
        }
    }

    /// Plays at another pace than a tool's.
    #[must_use]
    pub fn with_temper(mut self, temper: Temper, seed: u64) -> Player {
        self.brain = Partner::new(temper, seed);
        self
    }

    /// The cue that it has shown last, and when it taps on it, whether it comes to that or not.
    pub fn taps_at(&self) -> Option<(GrabCue, Micros)> {
        self.brain.taps_at()
    }

    /// Whether the own hand holds four alike.
    pub fn holds_four(&self) -> bool {
        let hand = self.view.as_ref().and_then(|view| view.hand.as_ref());
        let Some((hand, (_, groups))) = hand.zip(self.sheet.as_ref()) else { return false };
        let group = |card: &CardView| groups.get(usize::from(card.face.0)).copied();
        let own: Option<Vec<GroupIndex>> = hand.cards.iter().map(group).collect();
        own.as_deref().and_then(four_alike).is_some()
    }

    /// The device's own clock, which counts from its own beginning.
    pub fn now(&self) -> Micros {
        Micros(u64::try_from(self.began.elapsed().as_micros()).expect("a test of some minutes"))
    }

    /// When the device's own clock showed 0.
    pub fn began(&self) -> Instant {
        self.began
    }

    /// Connects, or comes back with the last number it has, and waits for the welcome.
    ///
    /// # Errors
    /// How the server ended the socket, or that it is away.
    pub async fn connect(&mut self) -> Result<(), Ended> {
        self.device = None;
        let opened = self.door.try_socket(self.codec, &[], self.tape.clone()).await;
        let mut device = opened.map_err(|_| Ended::Lost)?;
        let clock_step =
            Micros(u64::try_from(crate::quick_clock::STEP.as_micros()).expect("small"));
        let resume = self.last.filter(|_| self.view.is_some());
        let hello = Hello { credential: Credential::Seat(self.token), resume, clock_step };
        device.began = Some(self.began);
        device.say(&ToServer::Hello(hello)).await;
        let welcome = device.listen().await?;
        assert!(matches!(welcome, ToClient::Welcome(Welcome::Seat { .. })), "{welcome:?}");
        self.device = Some(device);
        self.take_in(welcome);
        Ok(())
    }

    /// Breaks the link without a word.
    pub fn break_link(&mut self) {
        self.device = None;
    }

    /// Says a move; a broken link swallows it.
    pub async fn say(&mut self, says: SeatSays) {
        self.asked += 1;
        let message = ToServer::Seat { ask: Ask(self.asked), says };
        if let Some(device) = &mut self.device {
            device.say(&message).await;
        }
    }

    /// Taps a token, whatever the hand holds.
    pub async fn tap_wrongly(&mut self) {
        let grab = Grab { cue: None, tap: self.now(), token: 0 };
        self.say(SeatSays::Grab(grab)).await;
    }

    /// Takes in the next message. May be dropped as it waits.
    ///
    /// # Errors
    /// How the socket ended.
    pub async fn next(&mut self) -> Result<(), Ended> {
        let device = self.device.as_mut().ok_or(Ended::Lost)?;
        match device.listen().await {
            Ok(message) => {
                self.take_in(message);
                Ok(())
            }
            Err(ended) => {
                self.device = None;
                Err(ended)
            }
        }
    }

    /// Takes in everything until nothing has come for a while.
    ///
    /// # Errors
    /// How the socket ended.
    pub async fn catch_up(&mut self) -> Result<(), Ended> {
        self.catch_up_for(Duration::from_millis(500)).await
    }

    /// The same with a while of the caller's choice.
    ///
    /// # Errors
    /// How the socket ended.
    pub async fn catch_up_for(&mut self, quiet: Duration) -> Result<(), Ended> {
        while let Ok(heard) = timeout(quiet, self.next()).await {
            heard?;
        }
        Ok(())
    }

    fn take_in(&mut self, message: ToClient) {
        self.heard.push(Heard { at: Instant::now(), message: message.clone() });
        match message {
            ToClient::Welcome(Welcome::Seat { deck, .. }) => self.deck = Some(deck),
            ToClient::Seat { number, news } => {
                match (&mut self.view, news) {
                    (view, SeatNews::Snapshot(snapshot)) => *view = Some(snapshot),
                    (Some(view), news) => {
                        let expected = self.last.map(|last| last.0 + 1);
                        assert_eq!(Some(number.0), expected, "numbers have no gap");
                        view.apply(&news);
                    }
                    (None, news) => panic!("news before a snapshot: {news:?}"),
                }
                self.last = Some(number);
            }
            // The cue also comes with the numbered news; whichever is first counts.
            ToClient::Cue { round, nonce } => {
                if let Some(view) = self.view.as_mut().filter(|view| view.table.round == round) {
                    view.grab.cue.get_or_insert(nonce);
                }
            }
            ToClient::Refused { refusal, .. } => self.refusals.push(refusal),
            other => panic!("not for a seat: {other:?}"),
        }
    }

    /// Plays until the view is as wished, and comes back by itself when the link breaks.
    ///
    /// # Errors
    /// How the server ended the socket, where a device must not return.
    pub async fn play_until(&mut self, done: impl Fn(&SeatView) -> bool) -> Result<(), Ended> {
        self.play_until_it(|player| player.view.as_ref().is_some_and(&done)).await
    }

    /// The same, with all that the device knows. It has a view by then.
    ///
    /// # Errors
    /// As for `play_until`.
    pub async fn play_until_it(&mut self, done: impl Fn(&Player) -> bool) -> Result<(), Ended> {
        loop {
            if self.device.is_none() {
                self.come_back().await?;
            }
            if self.view.is_none() {
                self.next_or_away().await?;
                continue;
            }
            if done(self) {
                return Ok(());
            }
            self.load_faces().await;
            match self.think() {
                Some(Thought::Say(says)) => self.act(says).await,
                Some(Thought::Rest) | None => self.next_or_away().await?,
                Some(Thought::WaitUntil(at)) => {
                    let wait = Duration::from_micros(at.since(self.now()).0);
                    if let Ok(heard) = timeout(wait, self.next_or_away()).await {
                        heard?;
                    }
                }
            }
        }
    }

    /// Plays a game to its end.
    ///
    /// # Errors
    /// As for `play_until`.
    pub async fn play_game(&mut self) -> Result<(), Ended> {
        self.play_until(is_over).await
    }

    fn think(&mut self) -> Option<Thought> {
        let now = self.now();
        let (view, (_, groups)) = (self.view.as_ref()?, self.sheet.as_ref()?);
        let thought = self.brain.think(view, groups, now);
        let held_back = self.never_grabs && matches!(thought, Thought::Say(SeatSays::Grab(_)));
        Some(if held_back { Thought::WaitUntil(now.plus(Micros::from_ms(50))) } else { thought })
    }

    async fn act(&mut self, says: SeatSays) {
        let moves = matches!(says, SeatSays::Keep { .. } | SeatSays::Pass { .. });
        self.say(says).await;
        if !moves {
            return;
        }
        self.moves += 1;
        let due = |every: Option<u32>| every.is_some_and(|every| self.moves.is_multiple_of(every));
        let (undo, tap) = (due(self.takes_back_every), due(self.taps_wrongly_every));
        if undo {
            self.say(SeatSays::Undo).await;
        }
        if tap {
            self.tap_wrongly().await;
        }
    }

    /// A broken link is no end for a device that may return.
    async fn next_or_away(&mut self) -> Result<(), Ended> {
        match self.next().await {
            Err(ended) if !may_return(&ended) => Err(ended),
            _ => Ok(()),
        }
    }

    async fn come_back(&mut self) -> Result<(), Ended> {
        for _ in 0..RETURNS_MAX {
            match self.connect().await {
                Ok(()) => {
                    self.returns += 1;
                    return Ok(());
                }
                Err(ended) if may_return(&ended) => sleep(RETURN_WAIT).await,
                Err(ended) => return Err(ended),
            }
        }
        Err(Ended::Lost)
    }

    async fn load_faces(&mut self) {
        let Some(deck) = self.deck else { return };
        if self.sheet.as_ref().is_some_and(|(loaded, _)| *loaded == deck) {
            return;
        }
        let answer = self.door.ask(&format!("GET /decks/{deck}/faces"), &[], b"").await;
        // A server that stops just now will be asked again.
        if answer.status == 200 {
            let sheet: FaceSheet = answer.json();
            self.sheet = Some((deck, sheet.faces.iter().map(|face| face.group).collect()));
        }
    }

    /// How many of the messages were snapshots.
    pub fn snapshots(&self) -> usize {
        let snapshot = |heard: &&Heard| {
            matches!(heard.message, ToClient::Seat { news: SeatNews::Snapshot(_), .. })
        };
        self.heard.iter().filter(snapshot).count()
    }

    /// What this seat sees; for a device that was connected.
    pub fn seen(&self) -> &SeatView {
        self.view.as_ref().expect("a device that was connected")
    }

    /// A second device takes the seat and gets a snapshot, which is what the first one sees once it has
    /// heard as much.
    pub async fn agrees_with_a_fresh_snapshot(&mut self) {
        let newer = Ended::Closed(Close::NewerDevice.code(), Close::NewerDevice.reason().into());
        loop {
            self.catch_up().await.expect("a link");
            let mut second = Player::new(self.door, self.codec, self.token, 0);
            second.connect().await.expect("the seat");
            while second.view.is_none() {
                second.next().await.expect("a snapshot");
            }
            let ended = loop {
                if let Err(ended) = self.next().await {
                    break ended;
                }
            };
            assert_eq!(ended, newer, "the newest device wins");
            // A snapshot carries the number of the last message that it contains.
            if second.last == self.last {
                assert_eq!(second.view, self.view, "{:?}", self.codec);
                self.device = second.device.take();
                return;
            }
            // A farewell overtakes what waits on a busy machine: it comes back for the rest.
            self.come_back().await.expect("the seat");
        }
    }
}

/// A device may come back by itself after these (`protocol/WIRE.md`, section 7).
fn may_return(ended: &Ended) -> bool {
    let codes =
        [Close::GoingAway, Close::TableStopped, Close::TooFrequent, Close::TooSlow, Close::Moved];
    match ended {
        Ended::Lost => true,
        Ended::Closed(code, _) => codes.iter().any(|close| close.code() == *code),
    }
}

/// The game has ended, and the device knows how.
pub fn is_over(view: &SeatView) -> bool {
    view.table.phase == Phase::GameOver && view.ruling.is_some()
}
