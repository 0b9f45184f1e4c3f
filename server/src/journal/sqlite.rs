//! The embedded store: one SQLite file beside its write-ahead log. One task writes, so that
//! everything that waits at the same moment shares one commit; a few connections read.
//!
//! WAL with `synchronous = FULL` syncs the log at every commit (sqlite.org/pragma.html), so an
//! append that was answered survives a crash of the process and of the machine.

use super::{Store, StoreError, StoreFuture, StreamName, Urgency};
use crate::limits::journal::{
    BUSY_S_MAX, COMMIT_APPENDS_MAX, QUEUE_APPENDS_MAX, READERS, URGENT_APPENDS_MAX,
};
use sqlx::sqlite::{
    SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqlitePool, SqlitePoolOptions,
    SqliteSynchronous,
};
use sqlx::{Connection, Row};
use std::path::Path;
use std::time::Duration;
use tokio::sync::{mpsc, oneshot};

/// The file's name in the data directory.
pub const FILE_NAME: &str = "handround.sqlite";

/// The layout of the file, kept in SQLite's `user_version`; a file of another layout is refused.
const LAYOUT: i64 = 1;

const CREATE: &str = "
    CREATE TABLE IF NOT EXISTS stream (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE
    ) STRICT;
    CREATE TABLE IF NOT EXISTS line (
        stream INTEGER NOT NULL,
        number INTEGER NOT NULL,
        text TEXT NOT NULL,
        PRIMARY KEY (stream, number)
    ) STRICT, WITHOUT ROWID;
    PRAGMA user_version = 1;
";

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        StoreError::Failed(error.to_string())
    }
}

type Reply = oneshot::Sender<Result<(), StoreError>>;

struct Append {
    stream: StreamName,
    held: u64,
    lines: Vec<String>,
    reply: Reply,
}

enum Work {
    Append(Append),
    Replace(Replace),
}

/// New lines in the place of old ones; none to delete the stream.
struct Replace {
    stream: StreamName,
    lines: Vec<String>,
    reply: Reply,
}

/// Journals in one SQLite file.
#[derive(Debug)]
pub struct SqliteStore {
    readers: SqlitePool,
    ordinary: mpsc::Sender<Work>,
    urgent: mpsc::Sender<Append>,
}

impl SqliteStore {
    /// Opens or creates the store in a directory, which is made for this user alone if it is
    /// missing, since class lists are children's data.
    ///
    /// # Errors
    /// A directory or file that cannot be used, or a file of another layout.
    pub async fn open(directory: &Path) -> Result<SqliteStore, StoreError> {
        create_private(directory).map_err(|error| {
            StoreError::Failed(format!("{} cannot be used: {error}", directory.display()))
        })?;
        let options = SqliteConnectOptions::new()
            .filename(directory.join(FILE_NAME))
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .busy_timeout(Duration::from_secs(BUSY_S_MAX))
            // Overwrites what is deleted with zeros, so that a deleted class list is gone.
            .pragma("secure_delete", "ON");
        let mut writer = SqliteConnection::connect_with(&options).await?;
        let layout: i64 =
            sqlx::query("PRAGMA user_version").fetch_one(&mut writer).await?.try_get(0)?;
        if layout != 0 && layout != LAYOUT {
            return Err(StoreError::Failed(format!(
                "the store has layout {layout}, this version reads layout {LAYOUT}"
            )));
        }
        sqlx::raw_sql(CREATE).execute(&mut writer).await?;
        let readers =
            SqlitePoolOptions::new().max_connections(READERS).connect_with(options).await?;
        let (ordinary, ordinary_work) = mpsc::channel(QUEUE_APPENDS_MAX);
        let (urgent, urgent_work) = mpsc::channel(URGENT_APPENDS_MAX);
        tokio::spawn(write_all(writer, ordinary_work, urgent_work));
        Ok(SqliteStore { readers, ordinary, urgent })
    }
}

fn create_private(directory: &Path) -> std::io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(directory)
}

fn writer_gone<T>(_: T) -> StoreError {
    StoreError::Failed("the writer has stopped".to_owned())
}

impl Store for SqliteStore {
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            let (reply, answer) = oneshot::channel();
            let append = Append { stream, held, lines, reply };
            match urgency {
                Urgency::Alone => self.urgent.send(append).await.map_err(writer_gone)?,
                Urgency::Group => {
                    self.ordinary.send(Work::Append(append)).await.map_err(writer_gone)?;
                }
            }
            answer.await.map_err(writer_gone)?
        })
    }

    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        Box::pin(async move {
            let rows = sqlx::query(
                "SELECT text FROM line JOIN stream ON stream.id = line.stream \
                 WHERE stream.name = ? ORDER BY line.number",
            )
            .bind(stream.0)
            .fetch_all(&self.readers)
            .await?;
            rows.iter().map(|row| row.try_get(0).map_err(StoreError::from)).collect()
        })
    }

    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        let prefix = prefix.to_owned();
        Box::pin(async move {
            // Not LIKE, in which some characters of a name would mean others; and a range, which the index
            // finds among 200,000 streams in under a millisecond, as a search of all does not. Names are
            // compared by their bytes in UTF-8, and none has the last character that there is.
            let rows =
                sqlx::query("SELECT name FROM stream WHERE name >= ?1 AND name < ?2 ORDER BY name")
                    .bind(prefix.clone())
                    .bind(format!("{prefix}{}", char::MAX))
                    .fetch_all(&self.readers)
                    .await?;
            rows.iter()
                .map(|row| row.try_get(0).map(StreamName).map_err(StoreError::from))
                .collect()
        })
    }

    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            let (reply, answer) = oneshot::channel();
            let replace = Work::Replace(Replace { stream, lines, reply });
            self.ordinary.send(replace).await.map_err(writer_gone)?;
            answer.await.map_err(writer_gone)?
        })
    }

    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        self.replace(stream, Vec::new())
    }
}

/// The writer's life. Urgent appends overtake; a stream never has appends in both lanes, since
/// its only writer waits for each answer.
async fn write_all(
    mut connection: SqliteConnection,
    mut ordinary: mpsc::Receiver<Work>,
    mut urgent: mpsc::Receiver<Append>,
) {
    loop {
        tokio::select! {
            biased;
            Some(append) = urgent.recv() => commit(&mut connection, vec![append]).await,
            Some(work) = ordinary.recv() => {
                let (appends, replace) = gather(work, &mut ordinary);
                commit(&mut connection, appends).await;
                if let Some(Replace { stream, lines, reply }) = replace {
                    // A caller that has gone away needs no answer.
                    let _ = reply.send(wipe(&mut connection, &stream, &lines).await);
                }
            }
            else => break,
        }
    }
    if let Err(error) = connection.close().await {
        tracing::warn!(%error, "the store did not close cleanly");
    }
}

/// Everything that waits now, up to the bound; a replacement ends the group.
fn gather(first: Work, ordinary: &mut mpsc::Receiver<Work>) -> (Vec<Append>, Option<Replace>) {
    let mut appends = Vec::new();
    let mut next = Some(first);
    while let Some(work) = next {
        match work {
            Work::Append(append) => appends.push(append),
            Work::Replace(replace) => return (appends, Some(replace)),
        }
        next = if appends.len() < COMMIT_APPENDS_MAX { ordinary.try_recv().ok() } else { None };
    }
    (appends, None)
}

/// One transaction for all; each is answered after the commit, or all fail together. An append
/// that is out of step is answered so and leaves the others alone.
async fn commit(connection: &mut SqliteConnection, appends: Vec<Append>) {
    if appends.is_empty() {
        return;
    }
    match write(connection, &appends).await {
        Ok(results) => {
            for (append, result) in appends.into_iter().zip(results) {
                let _ = append.reply.send(result);
            }
        }
        Err(error) => {
            let words = error.to_string();
            for append in appends {
                let _ = append.reply.send(Err(StoreError::Failed(words.clone())));
            }
        }
    }
}

async fn write(
    connection: &mut SqliteConnection,
    appends: &[Append],
) -> Result<Vec<Result<(), StoreError>>, sqlx::Error> {
    let mut transaction = connection.begin_with("BEGIN IMMEDIATE").await?;
    let mut results = Vec::with_capacity(appends.len());
    for append in appends {
        let held = held(&mut transaction, &append.stream).await?;
        if held != append.held {
            results.push(Err(StoreError::OutOfStep {
                stream: append.stream.0.clone(),
                held,
                expected: append.held,
            }));
            continue;
        }
        insert(&mut transaction, &append.stream, append.held, &append.lines).await?;
        results.push(Ok(()));
    }
    transaction.commit().await?;
    Ok(results)
}

async fn held(connection: &mut SqliteConnection, stream: &StreamName) -> Result<u64, sqlx::Error> {
    let row = sqlx::query(
        "SELECT coalesce(max(number) + 1, 0) FROM line \
         WHERE stream = (SELECT id FROM stream WHERE name = ?)",
    )
    .bind(&stream.0)
    .fetch_one(connection)
    .await?;
    row.try_get::<i64, _>(0).map(i64::unsigned_abs)
}

async fn insert(
    connection: &mut SqliteConnection,
    name: &StreamName,
    held: u64,
    lines: &[String],
) -> Result<(), sqlx::Error> {
    if lines.is_empty() {
        return Ok(());
    }
    sqlx::query("INSERT INTO stream (name) VALUES (?) ON CONFLICT (name) DO NOTHING")
        .bind(&name.0)
        .execute(&mut *connection)
        .await?;
    let stream: i64 = sqlx::query("SELECT id FROM stream WHERE name = ?")
        .bind(&name.0)
        .fetch_one(&mut *connection)
        .await?
        .try_get(0)?;
    for (number, line) in (held..).zip(lines) {
        sqlx::query("INSERT INTO line (stream, number, text) VALUES (?, ?, ?)")
            .bind(stream)
            .bind(number.cast_signed())
            .bind(line)
            .execute(&mut *connection)
            .await?;
    }
    Ok(())
}

/// Deletes what a stream held, writes the new lines if there are any, then empties the write-ahead
/// log, in which the old ones may still stand.
async fn wipe(
    connection: &mut SqliteConnection,
    stream: &StreamName,
    lines: &[String],
) -> Result<(), StoreError> {
    let mut transaction = connection.begin_with("BEGIN IMMEDIATE").await?;
    sqlx::query("DELETE FROM line WHERE stream = (SELECT id FROM stream WHERE name = ?)")
        .bind(&stream.0)
        .execute(&mut *transaction)
        .await?;
    sqlx::query("DELETE FROM stream WHERE name = ?")
        .bind(&stream.0)
        .execute(&mut *transaction)
        .await?;
    insert(&mut transaction, stream, 0, lines).await?;
    transaction.commit().await?;
    let blocked: i64 = sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)")
        .fetch_one(&mut *connection)
        .await?
        .try_get(0)?;
    if blocked == 0 {
        Ok(())
    } else {
        Err(StoreError::Failed("deleted, but a long reader kept its traces in the log".to_owned()))
    }
}
