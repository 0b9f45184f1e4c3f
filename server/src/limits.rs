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

    /// Least pause between two boards of a table and of a lesson: four a second read as live.
    pub const BOARD_PAUSE: Micros = Micros::from_ms(250);
    /// While a game runs the board is refreshed this often even if nothing moved, since it counts
    /// the seconds that a card waits.
    pub const BOARD_REFRESH: Micros = Micros::from_s(1);

    /// Tickets that can be out at once: a class and some taps over, in every lesson of a school.
    pub const TICKETS_MAX: usize = 2048;
    /// How long a ticket lets a device choose a place: a child finds the own picture in a minute.
    pub const TICKET_LIFE: Micros = Micros::from_s(5 * 60);
    /// Lessons that are not over, on one server: a large school twice over. Rows of pictures stay
    /// sparse among 65,536, and memory stays bounded.
    pub const LESSONS_MAX: usize = 500;
    /// Decks one lesson may make: a teacher who changes the plan more often needs a new lesson.
    pub const LESSON_DECKS_MAX: usize = 64;
}
