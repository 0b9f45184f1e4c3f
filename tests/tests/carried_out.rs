//! What somebody asked for is done although the browser has left meanwhile: nothing stays half done.
#![allow(clippy::unwrap_used)]

use handround_protocol::join::LessonLine;
use handround_server::journal::{MemoryStore, Store, StoreFuture, StreamName, Urgency};
use handround_tests::house::{House, TEACHER_KEY};
use std::sync::Arc;
use tokio::io::AsyncWriteExt;
use tokio::net::TcpStream;
use tokio::sync::{Semaphore, watch};

/// A store whose writers wait while it is shut.
struct Gate {
    inner: MemoryStore,
    open: watch::Sender<bool>,
    /// A permit for each writer that found it shut.
    found_shut: Semaphore,
}

impl Store for Gate {
    fn append(
        &self,
        stream: StreamName,
        held: u64,
        lines: Vec<String>,
        urgency: Urgency,
    ) -> StoreFuture<'_, ()> {
        Box::pin(async move {
            let mut open = self.open.subscribe();
            if !*open.borrow_and_update() {
                self.found_shut.add_permits(1);
                let _ = open.wait_for(|open| *open).await;
            }
            self.inner.append(stream, held, lines, urgency).await
        })
    }
    fn read(&self, stream: StreamName) -> StoreFuture<'_, Vec<String>> {
        self.inner.read(stream)
    }
    fn streams(&self, prefix: &str) -> StoreFuture<'_, Vec<StreamName>> {
        self.inner.streams(prefix)
    }
    fn replace(&self, stream: StreamName, lines: Vec<String>) -> StoreFuture<'_, ()> {
        self.inner.replace(stream, lines)
    }
    fn delete(&self, stream: StreamName) -> StoreFuture<'_, ()> {
        self.inner.delete(stream)
    }
}

#[tokio::test]
async fn a_lesson_is_made_although_the_browser_leaves() {
    let (open, _) = watch::channel(true);
    let store = Arc::new(Gate { inner: MemoryStore::new(), open, found_shut: Semaphore::new(0) });
    let house = House::over(store.clone(), 1).await;
    store.open.send_replace(false);

    let list = "nickname\nAda\nBo\nCleo\n";
    let mut browser = TcpStream::connect(house.address).await.unwrap();
    let asked = format!(
        "POST /lessons?name=Acorns HTTP/1.1\r\nHost: {}\r\nAuthorization: Bearer {TEACHER_KEY}\r\n\
         Content-Length: {}\r\n\r\n{list}",
        house.address,
        list.len()
    );
    browser.write_all(asked.as_bytes()).await.unwrap();
    let _ = store.found_shut.acquire().await.unwrap();
    drop(browser);
    // Server and test share one thread: by the answers to these it has seen that the connection ended.
    for _ in 0..5 {
        assert_eq!(house.ask("GET /health", &[], b"").await.status, 200);
    }
    store.open.send_replace(true);

    loop {
        let lessons: Vec<LessonLine> = house.ask_as_teacher("GET /lessons", b"").await.json();
        if let [lesson] = &lessons[..] {
            assert_eq!(lesson.name, "Acorns");
            break;
        }
        tokio::task::yield_now().await;
    }
    house.close().await;
}
