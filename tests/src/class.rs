//! A teacher and her class, over HTTP and the board's socket alone: what a test does to get devices
//! to a table.

use crate::door::{Answer, Door};
use crate::player::Player;
use crate::recorder::Tape;
use handround_protocol::close::Close;
use handround_protocol::codec::Codec;
use handround_protocol::house::{AgeBand, HouseRule};
use handround_protocol::id::{Ask, LessonId, TableId, Token};
use handround_protocol::join::{JoinPick, JoinPlaces, JoinRow, Joined, LessonMade};
use handround_protocol::message::{BoardSays, ToClient, ToServer};
use handround_protocol::view::{BoardView, LessonPlan, Phase};
use handround_server::game::Entry;
use handround_server::journal::{Store, StreamName};

/// A lesson with its pupils' devices.
pub struct Class {
    /// Where the server listens.
    pub door: Door,
    /// The lesson.
    pub lesson: LessonId,
    /// The board as it was when the lesson was made.
    pub board: BoardView,
    /// What the pupils' devices received over HTTP.
    pub answers: Vec<Answer>,
}

/// A plan for short rounds: as few cards as a table of that many seats can play with.
pub fn plan(house: HouseRule, seats: usize) -> LessonPlan {
    let groups = u8::try_from(seats + 2).expect("a small table");
    LessonPlan { house, groups, number_max: 10, ..LessonPlan::for_ages(AgeBand::SixToSeven) }
}

/// A class list of this many pupils with different readiness.
pub fn class_list(pupils: usize) -> String {
    let line = |pupil: usize| format!("Pupil {pupil},,{}\n", 1 + pupil % 3);
    (0..pupils).fold("nickname,picture,readiness\n".to_owned(), |list, pupil| list + &line(pupil))
}

impl Class {
    /// Makes a lesson from a class list and plans its games.
    pub async fn make(door: Door, class_list: &str, plan: LessonPlan) -> Class {
        let answer = door.ask_as_teacher("POST /lessons?name=Oak", class_list.as_bytes()).await;
        assert_eq!(answer.status, 201, "{}", String::from_utf8_lossy(&answer.body));
        let lesson = answer.json::<LessonMade>().lesson;
        let first = look(door, lesson, None, |board| !board.tables.is_empty()).await;
        let cards = |plan: &LessonPlan| (plan.ages, plan.number_min, plan.number_max, plan.groups);
        let another_deck = cards(&first.plan) != cards(&plan);
        let board = wish(door, lesson, BoardSays::Plan(plan.clone()), |board| {
            let mut decks = board.tables.iter().zip(&first.tables);
            board.plan == plan && decks.all(|(new, old)| (new.deck != old.deck) == another_deck)
        });
        Class { door, lesson, board: board.await, answers: Vec::new() }
    }

    /// A pupil's device taps the row of pictures, then the own name, and gets the seat's secret.
    pub async fn join(&mut self, pupil: usize) -> Token {
        let row = JoinRow { row: self.board.row.clone() };
        let places = self.door.post("/join/row", &row).await;
        let JoinPlaces { ticket, places: lines, .. } = places.json();
        let pick = JoinPick { ticket, pupil: lines[pupil].pupil };
        let joined = self.door.post("/join/place", &pick).await;
        let Joined { token, .. } = joined.json();
        self.answers.extend([places, joined]);
        token
    }

    /// Everybody joins and connects; devices take the two subprotocols in turn, from this one on.
    pub async fn players(&mut self, pupils: usize, codecs: &[Codec], seed: u64) -> Vec<Player> {
        let mut players = Vec::new();
        for (pupil, codec) in (0..pupils).zip(codecs.iter().cycle()) {
            let token = self.join(pupil).await;
            let seed = seed * 100 + pupil as u64;
            let mut player = Player::new(self.door, *codec, token, seed);
            player.connect().await.expect("the seat");
            players.push(player);
        }
        players
    }

    /// Begins a game at every table.
    pub async fn start(&self) {
        let game = |board: &BoardView| board.tables[0].view.game;
        let before = game(&self.look(|_| true).await);
        let start = BoardSays::Start { table: None };
        wish(self.door, self.lesson, start, |board| game(board) > before).await;
    }

    /// The board once it looks as wished.
    pub async fn look(&self, until: impl Fn(&BoardView) -> bool) -> BoardView {
        look(self.door, self.lesson, None, until).await
    }

    /// A teacher's wish, and the board once it looks as wished.
    pub async fn wish(&self, says: BoardSays, until: impl Fn(&BoardView) -> bool) -> BoardView {
        wish(self.door, self.lesson, says, until).await
    }

    /// The first table.
    pub fn table(&self) -> TableId {
        self.board.tables[0].table
    }

    /// The secret of the wall display.
    pub fn wall(&self) -> Token {
        let secret = self.board.wall_url.rsplit('/').next();
        secret.and_then(Token::from_hex).expect("a secret at the end of the address")
    }
}

/// Every game of the board is over.
pub fn all_over(board: &BoardView) -> bool {
    board.tables.iter().all(|table| table.view.phase == Phase::GameOver)
}

async fn wish(
    door: Door,
    lesson: LessonId,
    says: BoardSays,
    until: impl Fn(&BoardView) -> bool,
) -> BoardView {
    look(door, lesson, Some(says), until).await
}

async fn look(
    door: Door,
    lesson: LessonId,
    says: Option<BoardSays>,
    until: impl Fn(&BoardView) -> bool,
) -> BoardView {
    // On a busy machine the quick clock can run ahead of a board's answers to pings; then the server
    // takes the board for gone, and it comes back as a page would, without wishing twice.
    let mut wish = says;
    loop {
        let mut board = door.teacher_socket(Codec::Json).await;
        board.hello_board(lesson).await;
        if let Some(says) = wish.take() {
            board.say(&ToServer::Board { ask: Ask(1), says }).await;
        }
        loop {
            match board.hear().await {
                Ok(ToClient::Board(view)) if until(&view) => return view,
                Ok(ToClient::Refused { refusal, .. }) => panic!("refused: {refusal}"),
                Ok(_) => {}
                Err((code, _)) if code == Close::TooSlow.code() => break,
                Err(why) => panic!("the board was closed: {why:?}"),
            }
        }
    }
}

/// A table's journal, as the store holds it.
pub async fn journal(store: &dyn Store, table: TableId) -> Vec<Entry> {
    let lines = store.read(table_stream(table)).await.expect("a store that can be read");
    lines.iter().map(|line| serde_json::from_str(line).expect("a line of ours")).collect()
}

/// Where a table's journal stands in the store.
pub fn table_stream(table: TableId) -> StreamName {
    StreamName(format!("table/{table}"))
}

/// A wall display: connects and listens for as long as the test lives.
pub async fn watch_wall(door: Door, secret: Token, codec: Codec, tape: Tape) -> Vec<ToClient> {
    let mut wall = door.try_socket(codec, &[], tape).await.expect("a socket");
    wall.hello(handround_protocol::message::Credential::Wall(secret)).await;
    let mut heard = Vec::new();
    while let Ok(message) = wall.listen().await {
        heard.push(message);
    }
    heard
}
