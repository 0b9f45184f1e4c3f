//! Starting and stopping the server: options, addresses, the first lines on the terminal.

use crate::qr;
use anyhow::{Context, ensure};
use handround_protocol::id::LessonId;
use handround_server::journal::SqliteStore;
use handround_server::lesson::hub::Hub;
use handround_server::teacher::TeacherId;
use handround_server::web::{self, OneTimeKey, TeacherKey, WebConfig};
use std::fs::{File, TryLockError};
use std::io::IsTerminal;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::os::unix::fs::DirBuilderExt;
use std::path::PathBuf;
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::signal::unix::{SignalKind, signal};

/// What both commands take.
#[derive(clap::Args)]
pub struct Settings {
    /// Where to listen; this computer alone unless said otherwise.
    #[arg(long, value_name = "ADDR:PORT", default_value = "127.0.0.1:8787")]
    listen: SocketAddr,
    /// Listen on the local network, for tablets; the port is that of --listen.
    #[arg(long)]
    lan: bool,
    /// Where lessons are kept.
    #[arg(long, value_name = "DIR", default_value = "./handround-data")]
    data: PathBuf,
    /// The address that devices reach, if a proxy stands in front.
    #[arg(long, value_name = "URL", env = "HANDROUND_PUBLIC_URL")]
    public_url: Option<String>,
    /// Devices reach this program without a proxy in between: the kernel's own round trips (Linux) then
    /// show a device that answers late on purpose.
    #[arg(long)]
    direct: bool,
    /// A key for tools and tests, beside the one-time key that is printed.
    #[arg(long, value_name = "KEY", env = "HANDROUND_TEACHER_KEY", hide_env_values = true)]
    teacher_key: Option<TeacherKey>,
}

impl Settings {
    /// Binds the port.
    pub fn listen(&self) -> anyhow::Result<TcpListener> {
        let mut address = self.listen;
        if self.lan {
            address.set_ip(IpAddr::V4(Ipv4Addr::UNSPECIFIED));
        }
        web::listen(address).with_context(|| {
            format!(
                "cannot listen on {address}; is it running already? --listen names another port"
            )
        })
    }

    /// The address that devices reach, without a slash at the end.
    pub fn public_url(&self, listener: &TcpListener) -> anyhow::Result<String> {
        if let Some(url) = &self.public_url {
            let plain = url.trim_end_matches('/');
            let known = plain.starts_with("http://") || plain.starts_with("https://");
            ensure!(known, "--public-url must begin with http:// or https://");
            return Ok(plain.to_owned());
        }
        let mut bound = listener.local_addr()?;
        if bound.ip().is_unspecified() {
            bound.set_ip(network_address().context(
                "this computer's address on the network could not be found; is it connected? \
                 Otherwise name the address with --public-url",
            )?);
        }
        Ok(format!("http://{bound}"))
    }

    /// Makes the data directory and keeps it to this server for as long as the file is held: two would write the
    /// same lessons past each other. The system lets go of it however the program ends.
    ///
    /// # Errors
    /// The directory cannot be made, or another server holds it.
    pub fn hold_data(&self) -> anyhow::Result<File> {
        // Class lists are for this user's eyes alone.
        let made = std::fs::DirBuilder::new().recursive(true).mode(0o700).create(&self.data);
        let shown = self.data.display();
        made.with_context(|| format!("the data directory {shown} cannot be made"))?;
        let held = File::create(self.data.join("in-use"))
            .with_context(|| format!("the data directory {shown} cannot be written"))?;
        match held.try_lock() {
            Err(TryLockError::WouldBlock) => anyhow::bail!(
                "Handround is running already with the data in {shown}; --data names another directory"
            ),
            // Some network disks know no locks; the program does without there.
            Err(TryLockError::Error(error)) => {
                tracing::warn!(%error, "no lock on the data directory")
            }
            Ok(()) => {}
        }
        Ok(held)
    }

    /// Opens the data directory and brings the lessons back.
    pub async fn open_lessons(&self, public_url: String) -> anyhow::Result<Hub> {
        let store = SqliteStore::open(&self.data)
            .await
            .with_context(|| format!("the data in {} cannot be opened", self.data.display()))?;
        Hub::restore(Arc::new(store), public_url).await
    }

    /// How teachers are let in.
    pub fn web_config(&self) -> anyhow::Result<WebConfig> {
        let one_time_key = OneTimeKey::draw().context("the system gives no random numbers")?;
        let sessions = Some(self.data.join("sessions"));
        Ok(WebConfig {
            one_time_key,
            teacher_key: self.teacher_key.clone(),
            sessions,
            direct: self.direct,
        })
    }
}

/// Makes the demo's class, or finds it in the data directory again.
pub async fn lay_demo(hub: &Hub) -> anyhow::Result<LessonId> {
    let made = hub.make_demo().await.map_err(|no| anyhow::anyhow!(no.message))?;
    println!("\n{}", made.seating);
    Ok(made.lesson)
}

/// This computer's address on the network: the one from which it would reach another. Connecting a
/// UDP socket only chooses a route; nothing is sent. The target is kept for documentation
/// (RFC 5737) and belongs to nobody.
fn network_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let address = socket.local_addr().ok()?.ip();
    (!address.is_unspecified()).then_some(address)
}

/// Prints where to go, with the way into the demo's lesson if there is one. Where there are accounts
/// the one-time key is off. The key appears here
/// alone, never in the log.
pub async fn greet(
    hub: &Hub,
    url: &str,
    config: &WebConfig,
    demo: Option<LessonId>,
    accounts: usize,
) {
    if accounts == 0 {
        println!("\nTeacher:   {url}/teacher?key={}", config.one_time_key);
        println!("           This address works once, in one browser.");
    } else {
        println!("\nTeachers:  {url}/sign-in");
        println!(
            "           With name and password; accounts: {accounts}. The one-time key is off."
        );
    }
    let board = match demo {
        Some(lesson) => hub.board(TeacherId::THIS_MACHINE, lesson).await,
        None => None,
    };
    let join = board.map_or(format!("{url}/"), |board| board.borrow().join_url.clone());
    println!("\nChildren:  {join}\n");
    if let Ok(code) = qr::draw(&join, std::io::stdout().is_terminal()) {
        println!("{code}");
    }
    println!("Stop with Ctrl-C.");
}

/// Ready once somebody presses Ctrl-C or the service manager says SIGTERM.
pub fn asked_to_stop() -> anyhow::Result<impl Future<Output = ()>> {
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

/// Logs to standard error, so that what is printed for people stays apart. `RUST_LOG` changes how
/// much; nothing that is logged names a person, an address or a secret.
pub fn log() {
    use tracing_subscriber::EnvFilter;
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new("info"));
    tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal())
        .init();
}

#[cfg(test)]
mod tests {
    use super::Settings;
    use clap::Parser;

    #[derive(Parser)]
    struct Line {
        #[command(flatten)]
        settings: Settings,
    }

    #[test]
    fn a_data_directory_belongs_to_one_server_at_a_time() -> anyhow::Result<()> {
        let scratch = tempfile::tempdir()?;
        let data = scratch.path().join("data");
        let settings =
            Line::try_parse_from(["handround".as_ref(), "--data".as_ref(), data.as_os_str()])?
                .settings;
        let first = settings.hold_data()?;
        let no = settings.hold_data().map(drop).map_err(|no| no.to_string());
        assert!(no.is_err_and(|no| no.contains("running already")));
        drop(first);
        settings.hold_data()?;
        Ok(())
    }
}
