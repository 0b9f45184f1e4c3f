//! The two halves over a pipe instead of a network, with paused time.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::journal::MemoryStore;
use crate::lesson::connection::{Outbox, UrgentCue};
use crate::limits::web::{
    IDLE_PING_GAP, PING_GAP, QUICK_PING_GAP, QUICK_PINGS, SILENCE_MAX, VIEW_GAP,
};
use handround_protocol::codec::Payload;
use handround_protocol::house::HouseRule;
use handround_protocol::id::{Ask, GameNumber, Nonce, RoundNumber, SeatIndex, SeatNumber};
use handround_protocol::message::{SeatNews, ToClient};
use handround_protocol::refusal::Refusal;
use handround_protocol::view::{Phase, TableView, WallView};
use std::pin::Pin;
use std::sync::{Arc, Mutex};
use std::task::{Context, Poll};
use std::time::Duration;
use tokio::io::{DuplexStream, ReadBuf};
use tokio::sync::watch;
use tokio::time::{Instant, sleep};
use tokio_tungstenite::tungstenite::protocol::Role as End;

/// A pipe that keeps every write apart, as the kernel would get it.
struct Recorded {
    pipe: DuplexStream,
    writes: Arc<Mutex<Vec<Vec<u8>>>>,
}

impl AsyncRead for Recorded {
    fn poll_read(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.pipe).poll_read(context, buffer)
    }
}

impl AsyncWrite for Recorded {
    fn poll_write(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<std::io::Result<usize>> {
        let written = Pin::new(&mut self.pipe).poll_write(context, bytes);
        if let Poll::Ready(Ok(length)) = written {
            self.writes.lock().unwrap().push(bytes[..length].to_vec());
        }
        written
    }

    fn poll_flush(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.pipe).poll_flush(context)
    }

    fn poll_shutdown(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<std::io::Result<()>> {
        Pin::new(&mut self.pipe).poll_shutdown(context)
    }
}

/// A connection whose lesson is this test.
struct Pipe {
    outbox: Outbox,
    device: WebSocketStream<DuplexStream>,
    writes: Arc<Mutex<Vec<Vec<u8>>>>,
    ended: tokio::task::JoinHandle<Ended>,
}

/// Opens both halves; what `prepare` puts into the outbox waits there already.
async fn open(prepare: impl FnOnce(&Outbox), wall: Option<watch::Receiver<Arc<WallView>>>) -> Pipe {
    let (near, far) = tokio::io::duplex(16 * 1024);
    let writes = Arc::default();
    let near = Recorded { pipe: near, writes: Arc::clone(&writes) };
    let config = Some(crate::limits::web::socket());
    let server = WebSocketStream::from_raw_socket(near, End::Server, config).await;
    let device = WebSocketStream::from_raw_socket(far, End::Client, None).await;
    let hub = Hub::restore(Arc::new(MemoryStore::new()), "http://here".into()).await.unwrap();
    let (outbox, lanes) = outbox();
    prepare(&outbox);
    let views = wall.map_or(Views::None, |wall| Views::wall(wall, outbox.clone()));
    let ended = tokio::spawn(async move {
        let timing = Timing::new(Micros(0));
        let (sink, frames) = server.split();
        let (answers, waiting) = mpsc::channel(ANSWERS_MAX);
        let reader = Reader::new(frames, Codec::Json, &hub, None);
        let role = Role::Wall;
        let writer = Writer {
            sink,
            codec: Codec::Json,
            hub: &hub,
            timing: &timing,
            role: &role,
            direct: None,
        };
        tokio::select! {
            biased;
            ended = writer.run(Welcome::Wall, lanes, views, waiting) => ended,
            ended = reader.run(&role, &timing, &answers) => ended,
        }
    });
    Pipe { outbox, device, writes, ended }
}

impl Pipe {
    async fn frame(&mut self) -> Message {
        self.device.next().await.unwrap().unwrap()
    }

    async fn message(&mut self) -> ToClient {
        loop {
            if let Message::Text(text) = self.frame().await {
                let payload = Payload::Text(text.as_str().into());
                return Codec::Json.decode_to_client(&payload).unwrap();
            }
        }
    }
}

fn refused(ask: u32) -> ToClient {
    ToClient::Refused { ask: Ask(ask), refusal: Refusal::Wait }
}

#[tokio::test(start_paused = true)]
async fn a_cue_overtakes_what_waits_and_its_own_ping_is_in_the_same_write() {
    let nonce = Nonce([0xab; 16]);
    let round = RoundNumber(7);
    let waiting = |outbox: &Outbox| {
        (0..20).for_each(|ask| outbox.send(refused(ask)));
        outbox.send_cue(UrgentCue { round, nonce });
    };
    let mut pipe = open(waiting, None).await;
    assert_eq!(pipe.message().await, ToClient::Welcome(Welcome::Wall));
    assert_eq!(pipe.message().await, ToClient::Cue { round, nonce });
    assert_eq!(pipe.frame().await, Message::Ping(nonce.0.to_vec().into()));
    for ask in 0..20 {
        assert_eq!(pipe.message().await, refused(ask));
    }
    let writes = pipe.writes.lock().unwrap();
    let of_the_cue = |write: &&Vec<u8>| {
        write.windows(16).any(|part| part == nonce.0) && write.windows(3).any(|part| part == b"Cue")
    };
    assert_eq!(writes.iter().filter(of_the_cue).count(), 1);
}

#[tokio::test(start_paused = true)]
async fn pings_keep_their_pace_whatever_else_is_sent_in_private() {
    async fn pace(busy: bool) -> Vec<Duration> {
        let mut pipe = open(|_| (), None).await;
        let outbox = pipe.outbox.clone();
        let chatter = tokio::spawn(async move {
            if busy {
                loop {
                    outbox.send(refused(0));
                    sleep(Duration::from_millis(7)).await;
                }
            }
        });
        let start = Instant::now();
        let mut moments = Vec::new();
        let mut payloads = std::collections::BTreeSet::new();
        while moments.len() < QUICK_PINGS as usize + 4 {
            if let Message::Ping(payload) = pipe.frame().await {
                moments.push(start.elapsed());
                assert_eq!(payload.len(), 16);
                assert!(payloads.insert(payload.to_vec()), "a payload is never used twice");
            }
        }
        chatter.abort();
        moments
    }
    let (idle, busy) = (pace(false).await, pace(true).await);
    assert_eq!(idle, busy);
    let gaps: Vec<Duration> = idle.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let quick = QUICK_PINGS as usize - 1;
    assert_eq!(gaps[..quick], vec![QUICK_PING_GAP; quick]);
    assert_eq!(gaps[quick..], [IDLE_PING_GAP; 4]);
}

/// The table's public part is all that the pace may follow, and it is the same for every seat.
#[tokio::test(start_paused = true)]
async fn a_deal_is_measured_quickly_and_links_are_watched_while_a_game_goes_on() {
    let mut pipe = open(|_| (), None).await;
    let mut gaps = Vec::new();
    let mut last = None;
    let quick = QUICK_PINGS as usize - 1;
    let (dealt, moved, over) = (quick + 2, 2 * quick + 5, 2 * quick + 7);
    while gaps.len() < over + 3 {
        if !matches!(pipe.frame().await, Message::Ping(_)) {
            continue;
        }
        let now = Instant::now();
        gaps.extend(last.replace(now).map(|last| now - last));
        match gaps.len() {
            place if place == dealt => pipe.outbox.send(table_news(Phase::Dealt, 40)),
            place if place == moved => pipe.outbox.send(table_news(Phase::Playing, 39)),
            place if place == over => pipe.outbox.send(table_news(Phase::GameOver, 39)),
            _ => {}
        }
    }
    assert_eq!(gaps[..quick], vec![QUICK_PING_GAP; quick]);
    assert_eq!(gaps[quick..dealt], [IDLE_PING_GAP; 2], "no game goes on");
    assert!(gaps[dealt] < QUICK_PING_GAP, "measured at once");
    assert_eq!(gaps[dealt + 1..=dealt + quick], vec![QUICK_PING_GAP; quick]);
    assert_eq!(gaps[dealt + quick + 1..=over], vec![PING_GAP; over - dealt - quick]);
    assert_eq!(gaps[over + 1..], [IDLE_PING_GAP; 2]);
}

fn table_news(phase: Phase, draw_pile: u16) -> ToClient {
    let table = TableView {
        game: GameNumber(1),
        round: RoundNumber(1),
        phase,
        paused: false,
        house: HouseRule::Stay { rounds: 4 },
        dealer: SeatIndex(0),
        tokens: 3,
        draw_pile,
        discard_pile: 0,
        seats: Vec::new(),
        cheers: None,
    };
    ToClient::Seat { number: SeatNumber(1), news: SeatNews::Table(table) }
}

/// A device that reads but whose answers never come is closed; one that answers stays.
#[tokio::test(start_paused = true)]
async fn a_silent_link_is_closed_and_one_that_answers_pings_is_not() {
    let mut lively = open(|_| (), None).await;
    let silent = open(|_| (), None).await;
    let start = Instant::now();
    // tungstenite answers pings as long as somebody reads.
    let reading = tokio::spawn(async move { while lively.device.next().await.is_some() {} });
    let ended = silent.ended.await.unwrap();
    assert_eq!(ended, Ended::Closed(Close::TooSlow));
    assert!(start.elapsed() >= SILENCE_MAX);
    sleep(10 * SILENCE_MAX).await;
    assert!(!lively.ended.is_finished());
    reading.abort();
}

#[tokio::test(start_paused = true)]
async fn a_device_that_does_not_read_is_dropped_and_nobody_waits_for_it() {
    let pipe = open(|_| (), None).await;
    let long = "x".repeat(8_000);
    let message = ToClient::Wall(WallView { name: long, ..wall(0) });
    // More than the pipe and the queue hold; sending never waits.
    (0..200).for_each(|_| pipe.outbox.send(message.clone()));
    assert_eq!(pipe.ended.await.unwrap(), Ended::Closed(Close::TooSlow));
}

fn wall(version: usize) -> WallView {
    WallView {
        name: version.to_string(),
        open: true,
        row: vec![],
        join_url: String::new(),
        join_qr_svg: String::new(),
        race: None,
        shows: handround_protocol::wall::WallShows::default(),
        tables: vec![],
    }
}

#[tokio::test(start_paused = true)]
async fn views_come_at_most_four_times_a_second_and_the_newest_is_never_missed() {
    let (newest, watched) = watch::channel(Arc::new(wall(0)));
    let mut pipe = open(|_| (), Some(watched)).await;
    tokio::spawn(async move {
        for version in 1..=100 {
            sleep(Duration::from_millis(13)).await;
            newest.send_replace(Arc::new(wall(version)));
        }
        std::future::pending::<()>().await;
    });
    assert_eq!(pipe.message().await, ToClient::Welcome(Welcome::Wall));
    let mut moments = Vec::new();
    loop {
        let ToClient::Wall(view) = pipe.message().await else {
            panic!("only views come");
        };
        moments.push(Instant::now());
        if view.name == "100" {
            break;
        }
    }
    assert!(moments.windows(2).all(|pair| pair[1] - pair[0] >= VIEW_GAP));
    assert_eq!(moments.len(), 7, "1.3 s of changes");
}

#[tokio::test(start_paused = true)]
async fn the_clock_is_told_with_the_moments_of_reading_and_writing() {
    let mut pipe = open(|_| (), None).await;
    let ask = ToServer::ClockAsk { device: Micros(5) };
    let Payload::Text(text) = Codec::Json.encode_to_server(&ask).unwrap() else {
        panic!("JSON is text");
    };
    pipe.device.send(Message::text(text)).await.unwrap();
    assert_eq!(pipe.message().await, ToClient::Welcome(Welcome::Wall));
    let ToClient::Clock { device, received, sent } = pipe.message().await else {
        panic!("the clock was asked");
    };
    assert_eq!(device, Micros(5));
    assert!(Micros(0) < received && received <= sent);
}

#[tokio::test(start_paused = true)]
async fn the_first_reason_to_close_stands_and_goes_before_what_waits() {
    let pipe = open(|_| (), None).await;
    pipe.outbox.send(refused(1));
    pipe.outbox.close(Close::NewerDevice);
    pipe.outbox.close(Close::LessonOver);
    assert_eq!(pipe.ended.await.unwrap(), Ended::Closed(Close::NewerDevice));
}
