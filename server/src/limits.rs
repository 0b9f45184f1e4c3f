//! Every bound of the server's own rooms, each with its reason. Bounds of the wire stand in
//! `protocol/src/limits.rs`.

/// Bounds of the store.
pub mod journal {
    /// Appends that may wait for the store's writer; a table waits for its own, so this is a bound on
    /// tables writing at one moment. A full queue holds tables back instead of growing.
    pub const QUEUE_APPENDS_MAX: usize = 1024;
    /// First grabs that may wait: they go alone and fast, and a race is rare beside a pass.
    pub const URGENT_APPENDS_MAX: usize = 64;
    /// Appends in one commit: past 256 the sync is no longer what costs (dependencies note,
    /// measured), and a first grab must not wait behind a long commit.
    pub const COMMIT_APPENDS_MAX: usize = 256;
    /// Connections that read: only restarts and face sheets read.
    pub const READERS: u32 = 2;
    /// How long a connection waits for SQLite's lock, in seconds: far beyond any commit of ours, so
    /// that only a second program on the same file meets it.
    pub const BUSY_S_MAX: u64 = 5;
}

/// Bounds of lessons and their tables.
pub mod lesson {
    use handround_protocol::time::Micros;
    use std::time::Duration;

    /// Messages waiting for one table: a second of six busy devices, and one place that each
    /// connection keeps reserved for its farewell. A full inbox holds its sockets back.
    pub const TABLE_INBOX_MAX: usize = 128;
    /// Numbered messages kept a seat, so that a device returning within a few seconds gets the tail.
    /// Fits the outbox beside a snapshot, and makes about 30 KiB a seat.
    pub const SEAT_HISTORY_MAX: usize = 32;
    /// Times that a table is rebuilt from its journal before it stays stopped: a fault that comes
    /// back with the same journal would come back for ever.
    pub const TABLE_REBUILDS_MAX: u32 = 5;
    /// Moves that partners make before the table looks into its inbox again.
    pub const PARTNER_MOVES_PER_WAKE_MAX: usize = 8;
    /// Least pause of a partner whose move was refused, so that a wrong brain cannot spin.
    pub const PARTNER_REFUSED_PAUSE: Micros = Micros::from_ms(250);
    /// Least pause between two ticks that changed nothing, so that a wrong timer cannot spin.
    pub const IDLE_TICK_PAUSE: Micros = Micros::from_ms(50);

    /// How long a race that the teacher shows stays on the wall: six children's tokens, one every
    /// 2.5 s, and time to look. The page plays it once (`pages/wall/race.js`).
    pub const WALL_RACE_FOR: Duration = Duration::from_secs(30);
    /// Steps of the model table at the most: at a sentence every few seconds a class has seen it in about
    /// three minutes.
    pub const MODEL_STEPS_MAX: usize = 40;
    /// Deals that are tried for a model table that shows everything in so few steps.
    pub const MODEL_DEALS_MAX: u64 = 2_000;
    /// How long the demo shows a game's end before a rematch: time to read it and to look up.
    pub const DEMO_REMATCH_PAUSE: Duration = Duration::from_secs(20);

    /// Least pause between two boards of a table and of a lesson: four a second read as live.
    pub const BOARD_PAUSE: Micros = Micros::from_ms(250);
    /// While a game runs the board is refreshed this often even if nothing moved, since it counts
    /// the seconds that a card waits.
    pub const BOARD_REFRESH: Micros = Micros::from_s(1);

    /// Tickets that can be out at once: a class and some taps over, in every lesson of a school.
    pub const TICKETS_MAX: usize = 2048;
    /// How long a ticket lets a device choose a place: a child finds the own picture in a minute.
    pub const TICKET_LIFE: Micros = Micros::from_s(5 * 60);
    /// Devices that can wait at one lesson's door: every child of a large class, and as many again by
    /// mistake. The oldest gives way.
    pub const WAITING_MAX: usize = 64;
    /// How long a device that waits at the door may be silent: its page asks every 1.5 s, and a page
    /// in the background once a minute at worst, but a child who waits has it in view.
    pub const WAITING_SILENT_FOR: Micros = Micros::from_s(12);
    /// How long an answer is kept for the device that waited.
    pub const ANSWER_KEPT_FOR: Micros = Micros::from_s(60);
    /// How long a wrong tap can be undone by the child; the issue names it.
    pub const UNDO_FOR: Micros = Micros::from_s(10);
    /// Tablets kept for one class: a cart of 30, twice over.
    pub const TABLETS_MAX: usize = 60;
    /// Hands on one shared device; more would wait too long for their turn.
    pub const SHARED_HANDS_MAX: usize = 4;

    /// Lessons that are not over, on one server: a large school twice over. Rows of pictures stay
    /// sparse among 65,536, and memory stays bounded.
    pub const LESSONS_MAX: usize = 500;
    /// Those of one teacher: a specialist who sees thirty groups, three times over. Nobody can use up
    /// what is there for all.
    pub const LESSONS_EACH_MAX: usize = 100;
    /// Classes kept at one time: as many as lessons, a large school twice over.
    pub const CLASSES_MAX: usize = 500;
    /// Those of one teacher: as many as her lessons.
    pub const CLASSES_EACH_MAX: usize = 100;
    /// How long a class is kept after its last lesson was made: 13 weeks, a school term (common
    /// practice, no source). A school's policy or the law may ask for less; the teacher can delete
    /// a class at any time.
    pub const CLASS_KEPT_FOR: Micros = Micros::from_s(13 * 7 * 24 * 60 * 60);
    /// Between two looks for classes whose time is over: the date is shown as a day.
    pub const CLASS_LOOK_GAP: Duration = Duration::from_secs(60 * 60);
    /// Lessons in one report, the latest first: three a week for as long as a class is kept.
    pub const REPORT_LESSONS_MAX: usize = 40;
    /// After so many journal lines a report reads no further lesson: the entries of all tables are in
    /// memory at once, some hundred bytes each.
    pub const REPORT_LINES_MAX: usize = 400_000;

    /// The longest day of a substitute's link: one on which clocks are put back.
    pub const SUBSTITUTE_DAY_MAX: Micros = Micros::from_s(25 * 60 * 60);
    /// How far ahead a substitute's day may end: a teacher prepares the days that she knows she is away.
    pub const SUBSTITUTE_AHEAD_MAX: Micros = Micros::from_s(32 * 24 * 60 * 60);
    /// Decks that are simulated for a lesson's slot: by readiness a class has two or three, and each takes
    /// a core for a while.
    pub const SLOT_DECKS_MAX: usize = 4;
    /// Decks one lesson may make: a teacher who changes the plan more often needs a new lesson.
    pub const LESSON_DECKS_MAX: usize = 64;
}

/// Accounts of teachers and their passwords.
pub mod account {
    /// Accounts on one server: the staff of a very large school.
    pub const ACCOUNTS_MAX: usize = 300;
    /// The longest name in characters: a whole name, or an address of electronic mail.
    pub const NAME_CHARS_MAX: usize = 60;
    /// The shortest password in characters. NIST SP 800-63B asks for 8 (2017) or, where it stands alone,
    /// 15 (2025; both from memory); 12 is three or four words.
    pub const PASSWORD_CHARS_MIN: usize = 12;
    /// What is left of a password at the least without common words, names and runs, in characters: half of
    /// the shortest one.
    pub const PASSWORD_REST_CHARS_MIN: usize = PASSWORD_CHARS_MIN / 2;
    /// The longest: whole sentences and whatever password managers make. NIST SP 800-63B asks to take
    /// at least 64 (from memory).
    pub const PASSWORD_CHARS_MAX: usize = 128;

    // What one hash costs. Source: OWASP Password Storage Cheat Sheet, argon2id at least 19 MiB, 2 passes,
    // 1 lane.

    /// Memory in KiB.
    pub const HASH_MEMORY_KIB: u32 = 19_456;
    /// Passes over it.
    pub const HASH_PASSES: u32 = 2;
    /// Lanes.
    pub const HASH_LANES: u32 = 1;
}

/// Bounds of the edge: sockets, requests and attempts.
pub mod web {
    use handround_protocol::limits::{TO_CLIENT_BYTES_MAX, TO_SERVER_BYTES_MAX};
    use std::num::NonZeroU32;
    use std::time::Duration;
    use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;

    const fn count(number: u32) -> NonZeroU32 {
        match NonZeroU32::new(number) {
            Some(number) => number,
            None => panic!("a bound of zero admits nobody"),
        }
    }

    /// Connections of all kinds at one time: 300 tables of six with a page's other requests
    /// beside them, at about 30 KiB each.
    pub const CONNECTIONS_MAX: usize = 10_000;
    /// Connections that the kernel holds until they are accepted: every tablet of a school comes back
    /// within the same second when the Wi-Fi does. The library's own 128 would turn some away with a
    /// reset; Linux takes `net.core.somaxconn`, 4,096, where that is less.
    pub const ACCEPT_QUEUE_MAX: u32 = 4_096;
    /// Wait after a failed `accept`, such as for want of file descriptors, so that it does not
    /// spin.
    pub const ACCEPT_PAUSE: Duration = Duration::from_millis(100);
    /// Time for a request's head to arrive; also how long an idle connection is kept.
    pub const HEAD_WAIT: Duration = Duration::from_secs(20);
    /// The largest request head in bytes; ours are under 1 KiB. hyper's smallest is 8 KiB.
    pub const HEAD_BYTES_MAX: usize = 16 * 1024;
    /// Time for a request's body to arrive over a school's Wi-Fi.
    pub const BODY_WAIT: Duration = Duration::from_secs(20);
    /// The largest JSON body of joining in bytes; honest ones are under 200.
    pub const JOIN_BYTES_MAX: usize = 2 * 1024;
    /// The largest JSON body about groups in bytes: sixty children and as many tables are under
    /// 500.
    pub const GROUPS_BYTES_MAX: usize = 4 * 1024;
    /// The largest JSON body that makes a lesson in bytes: the same, and for each of twenty tables a deck
    /// of up to 4 KiB, which is what a plan on the wire may be.
    pub const LESSON_BYTES_MAX: usize = 84 * 1024;
    /// Bytes of a body known to be too large that are read and thrown away, so that the browser
    /// reads our answer instead of a broken connection. A 10 MB photograph chosen by mistake fits.
    pub const DRAIN_BYTES_MAX: usize = 32 * 1024 * 1024;
    /// Longest name of a lesson in characters: one line on the board.
    pub const LESSON_NAME_CHARS_MAX: usize = 60;
    /// Time for all connections to end after the server was asked to stop: the close handshake
    /// (`GOODBYE_WAIT`) and some more; service managers kill after 90 s.
    pub const STOP_WAIT: Duration = Duration::from_secs(5);

    /// Time for `Hello` after the upgrade; pages say it at once.
    pub const HELLO_WAIT: Duration = Duration::from_secs(5);
    /// Time for one write to reach the kernel; a second is long for Wi-Fi, five is a lost device.
    pub const WRITE_WAIT: Duration = Duration::from_secs(5);
    /// Time for the close handshake.
    pub const GOODBYE_WAIT: Duration = Duration::from_secs(2);
    /// The first pings of a connection, so that a link is measured before the first race.
    pub const QUICK_PINGS: u32 = 8;
    /// Between those.
    pub const QUICK_PING_GAP: Duration = Duration::from_millis(250);
    /// Between later pings while a game goes on: 64 samples in about two minutes, the window of the
    /// least round trip.
    pub const PING_GAP: Duration = Duration::from_secs(2);
    /// Between pings while no game goes on: a few a minute keep the link open and spare the battery.
    pub const IDLE_PING_GAP: Duration = Duration::from_secs(10);
    /// Between the pings of a young race, from a cue on for `race::ruling::RACE_PINGS_FOR`: the
    /// arbiter's own step, so that what it waits for is what the edge does.
    pub const RACE_PING_GAP: Duration =
        Duration::from_micros(crate::race::measure::RACE_PING_GAP.0);
    /// Between two looks at what a device's kernel has acknowledged while its answers are overdue in a
    /// young race, likewise the arbiter's own.
    pub const RACE_LOOK_GAP: Duration =
        Duration::from_micros(crate::race::acknowledged::LOOK_GAP.0);
    /// A link that leaves a ping unanswered and says nothing else for so long is closed: four pings
    /// in a game. Shorter would cut devices off during a roam between access points, which
    /// takes a few seconds.
    pub const SILENCE_MAX: Duration = Duration::from_secs(8);
    /// A link that says something again after leaving a ping unanswered for so long has slept or
    /// roamed: what was measured before says nothing of it. Two pings in a game.
    pub const SLEEP_MIN: Duration = Duration::from_secs(4);
    /// Questions for one device's clock that may be open: those of a second at the quick pace. A
    /// page that is busy for longer answers with too great a delay to teach anything.
    pub const CLOCK_QUESTIONS_MAX: usize = 4;
    /// Between two whole boards or wall displays on one connection: at most four a second.
    pub const VIEW_GAP: Duration = Duration::from_millis(250);
    /// Answers that may wait between a connection's reading and writing half. Reading waits for
    /// room, which holds back that connection alone.
    pub const ANSWERS_MAX: usize = 16;
    /// No device's clock counts as coarser than this, whatever it says: browsers that resist
    /// fingerprinting round to 1/60 s (from memory). A coarser claim would buy drawn races.
    pub const CLOCK_STEP_US_MAX: u64 = 20_000;

    /// Frames a second that one connection may send for long: ten fingers drumming on a screen at
    /// ten taps a second each, more than a child can.
    pub const FRAMES_PER_SECOND: NonZeroU32 = count(100);
    /// Frames at once: three seconds of that, which Wi-Fi may hold back and deliver together.
    pub const FRAMES_BURST: NonZeroU32 = count(300);

    // A lesson's row has 16^4 = 65,536 forms, so attempts are what protects it; links, tickets and
    // seats have 128-bit secrets and are only protected from being a burden.

    /// Rows tapped from one address at once: a class of 30 behind one address, each child wrong
    /// three times.
    pub const ROWS_BURST: NonZeroU32 = count(120);
    /// Seconds until that address may try one more: all rows then take 18 hours from one address.
    pub const ROWS_SECONDS_EACH: u64 = 1;
    /// Rows tapped at this server at once: ten classes that begin together.
    pub const ROWS_BURST_ALL: NonZeroU32 = count(600);
    /// Rows a second at this server for long: all rows then take 6 hours from however many
    /// addresses, longer than a room stays open.
    pub const ROWS_PER_SECOND_ALL: NonZeroU32 = count(3);
    /// Other requests of joining from one address at once: a class that opens the link and picks
    /// places, several times over.
    pub const JOINS_BURST: NonZeroU32 = count(300);
    /// Those a second for long.
    pub const JOINS_PER_SECOND: NonZeroU32 = count(20);
    /// Teacher's keys tried from one address at once; a teacher needs one, tools one a request.
    pub const KEYS_BURST: NonZeroU32 = count(100);
    /// Those a second for long: hopeless against the shortest key that is allowed.
    pub const KEYS_PER_SECOND: NonZeroU32 = count(5);
    /// Names and passwords tried from one address at once: a staff room before the first bell.
    pub const SIGN_INS_BURST: NonZeroU32 = count(30);
    /// Seconds until that address may try one more: 8,640 a day.
    pub const SIGN_INS_SECONDS_EACH: u64 = 10;
    /// Tries of one name from wherever at once.
    pub const SIGN_INS_NAME_BURST: NonZeroU32 = count(60);
    /// Seconds until that name may be tried once more: more often than one or two addresses may try, so
    /// that whoever hammers a teacher's name from there does not keep her out, and still hopeless
    /// against the shortest password unless it is a famous one.
    pub const SIGN_INS_NAME_SECONDS_EACH: u64 = 4;
    /// Passwords hashed at the same moment: 19 MiB and a core each, and tables need cores too.
    pub const HASHINGS_AT_ONCE_MAX: usize = 2;
    /// How long a sign-in waits for its turn: some fifty others.
    pub const HASH_WAIT: Duration = Duration::from_secs(5);
    /// The largest sign-in in bytes: name and password, each letter as three escaped bytes of four.
    pub const SIGN_IN_BYTES_MAX: usize = 4 * 1024;
    /// Between two looks for accounts that were made, changed or removed on the command line: a teacher
    /// who is told her new password has not yet typed it.
    pub const ACCOUNTS_LOOK_GAP: Duration = Duration::from_secs(5);
    /// Addresses remembered for each of these before the settled ones are forgotten.
    pub const ADDRESSES_MAX: usize = 10_000;

    /// The shortest key that `--teacher-key` accepts, in characters.
    pub const TEACHER_KEY_CHARS_MIN: usize = 16;
    /// How long a teacher stays signed in: a school day.
    pub const SESSION_AGE_MAX: Duration = Duration::from_secs(12 * 60 * 60);
    /// Sessions at one time, the oldest goes first: a school's staff on several devices.
    pub const SESSIONS_MAX: usize = 2_000;
    /// Those of one teacher, so that nobody pushes the others out.
    pub const SESSIONS_EACH_MAX: usize = 100;

    /// tungstenite's bounds; its defaults are 64 MiB, 16 MiB, 128 KiB a socket and unlimited.
    pub fn socket() -> WebSocketConfig {
        WebSocketConfig::default()
            .max_message_size(Some(TO_SERVER_BYTES_MAX))
            .max_frame_size(Some(TO_SERVER_BYTES_MAX))
            // One honest frame fits many times; it is allocated for every socket.
            .read_buffer_size(4 * 1024)
            // A cue and its ping wait here for one flush.
            .write_buffer_size(4 * 1024)
            // The largest message behind a full buffer, with its frame's head.
            .max_write_buffer_size(TO_CLIENT_BYTES_MAX + 8 * 1024)
    }
}

/// The deck workshop.
pub mod workshop {
    use std::num::NonZeroU32;

    /// Decks kept on one server: a school's staff of a hundred with a dozen each.
    pub const KEPT_DECKS_MAX: usize = 1_200;
    /// Those of one teacher: one a week for some years.
    pub const KEPT_DECKS_EACH_MAX: usize = 300;
    /// Own decks kept on one server; the largest has some megabytes of pictures, so this is about a
    /// gigabyte at worst.
    pub const OWN_DECKS_MAX: usize = 300;
    /// Those of one teacher.
    pub const OWN_DECKS_EACH_MAX: usize = 100;
    /// An own deck as it comes: its file and its pictures in base64, which makes four bytes of three,
    /// and 64 KB for the names of files.
    pub const OWN_BYTES_MAX: usize =
        (super::own::PICTURES_BYTES_MAX + super::own::FILE_BYTES_MAX) / 3 * 4 + 64 * 1024;
    /// The largest request about a deck in bytes: a deck of 13 groups with all its cards named is
    /// under 4 KB, and the bounds of wishes allow about 40.
    pub const ASK_BYTES_MAX: usize = 48 * 1024;
    /// The largest deck file in bytes: the same with line breaks, and a teacher's own cards.
    pub const FILE_BYTES_MAX: usize = 64 * 1024 + super::own::SAVED_BYTES_MAX;
    /// Decks drawn or printed at the same moment, so that tables keep a core.
    pub const DRAWINGS_AT_ONCE_MAX: usize = 1;
    /// Decks drawn at once by teachers who try settings.
    pub const DRAWINGS_BURST: NonZeroU32 = NonZeroU32::MIN.saturating_add(59);
    /// Those a second for long: a teacher taps, she does not stream.
    pub const DRAWINGS_PER_SECOND: NonZeroU32 = NonZeroU32::MIN.saturating_add(4);
}

/// Print sheets.
pub mod print {
    use handround_protocol::limits::{GROUP_CARDS_MAX, GROUPS_MAX};

    /// Most cards of one document: the largest deck that there can be, 54 sheets.
    pub const CARDS_MAX: usize = GROUPS_MAX * GROUP_CARDS_MAX;
    /// The longest drawing of one card, in bytes: ours have under 10 KB, a picture from a teacher
    /// is made small before it becomes a card.
    pub const DRAWING_BYTES_MAX: usize = 512 * 1024;
    /// Most cards of a whole lesson's pack: 30 tables of two, the most that a class list makes, with
    /// 13 groups of four each are 1,560. Pages are small, since a drawing is stored once.
    pub const PACK_CARDS_MAX: usize = 2_000;
    /// The longest deck name in characters that fits the margin of a sheet.
    pub const NAME_CHARS_MAX: usize = 60;
}

/// Decks that teachers make themselves, and the pictures in them.
pub mod own {
    use handround_protocol::limits::GROUPS_MAX;

    /// The largest deck file in bytes: 40 groups of 12 faces of 40 letters are 20 KiB.
    pub const FILE_BYTES_MAX: usize = 256 * 1024;
    /// The largest deck with its pictures inside, as the server writes one to be kept or shared:
    /// every picture at its largest, a third longer in base64.
    pub const SAVED_BYTES_MAX: usize = FILE_BYTES_MAX + PICTURES_MAX * PNG_BYTES_MAX * 4 / 3;
    /// Fewest groups: a table of two needs (2 + 2) x 4 cards.
    pub const GROUPS_MIN: usize = 4;
    /// Most groups: those of a face sheet.
    pub const GROUPS_MOST: usize = GROUPS_MAX;
    /// The longest name of a deck in characters: what fits the margin of a print sheet.
    pub const NAME_CHARS_MAX: usize = super::print::NAME_CHARS_MAX;
    /// The longest text of a face in characters: some six words, still 4 mm tall on paper.
    pub const FACE_CHARS_MAX: usize = 40;
    /// The longest single word of a face in characters, for the same size.
    pub const WORD_CHARS_MAX: usize = 20;
    /// Codes of standards, and local ones.
    pub const CODES_MAX: usize = 20;
    /// The longest of them in characters.
    pub const CODE_CHARS_MAX: usize = 40;

    /// Pictures in one deck: two for each of 52 cards.
    pub const PICTURES_MAX: usize = 104;
    /// One picture as it comes, in bytes: a phone's photograph of 12 megapixels has 3 to 6 MB (from
    /// memory).
    pub const PICTURE_BYTES_MAX: usize = 6 * 1024 * 1024;
    /// All pictures of one upload, in bytes: two phone photographs or a hundred drawings. What the
    /// workshop takes at once (`workshop::OWN_BYTES_MAX`) follows from it.
    pub const PICTURES_BYTES_MAX: usize = 12 * 1024 * 1024;
    /// The longer side of a picture as it comes, in pixels.
    pub const SIDE_PIXELS_MAX: u32 = 8_192;
    /// Pixels of a picture as it comes: 12 megapixels and some more, 64 MB while it is read.
    pub const PIXELS_MAX: u64 = 16_000_000;
    /// Bytes that reading one picture may take in memory: those pixels twice, since turning one makes
    /// a copy.
    pub const DECODE_BYTES_MAX: u64 = 2 * 4 * PIXELS_MAX;
    /// The longer side of a picture on a card, in pixels: 150 to an inch on paper. Smaller ones are
    /// tried in turn until the file is small enough.
    pub const CARD_SIDES: [u32; 5] = [320, 272, 224, 176, 128];
    /// A picture on a card, in bytes: 52 of them are 2.5 MB, which a class loads before the first
    /// deal. The smallest side fits for any picture: 128 x 128 bytes and a palette.
    pub const PNG_BYTES_MAX: usize = 48 * 1024;

    /// An SVG drawing as it comes, in bytes: clip art has some hundred KiB.
    pub const SVG_BYTES_MAX: usize = 2 * 1024 * 1024;
    /// Elements of a drawing, each counted as often as it is drawn: detailed clip art has some
    /// thousand.
    pub const SVG_ELEMENTS_MAX: usize = 5_000;
    /// Bytes of attributes, counted in the same way.
    pub const SVG_DRAWN_BYTES_MAX: usize = 2 * SVG_BYTES_MAX;
    /// Elements within elements, references followed: drawing programs nest layers and groups to a
    /// dozen.
    pub const SVG_DEPTH_MAX: usize = 48;
}
