//! Starting and stopping the server: options, addresses, the first lines on the terminal.

use crate::qr;
use anyhow::{Context, ensure};
use handround_server::journal::Store;
use handround_server::lesson::hub::Hub;
use handround_server::web::{OneTimeKey, TeacherKey, WebConfig};
use std::io::IsTerminal;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tokio::net::TcpListener;
use tokio::signal::unix::{SignalKind, signal};

/// The port when none is named.
const PORT: u16 = 8787;

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
    /// A key for tools and tests, beside the one-time key that is printed.
    #[arg(long, value_name = "KEY", env = "HANDROUND_TEACHER_KEY", hide_env_values = true)]
    teacher_key: Option<TeacherKey>,
}

/// The addresses that are printed, without a slash at the end.
pub struct Addresses {
    /// For the teacher, on this computer if it can be.
    pub teacher: String,
    /// For the children's devices.
    pub children: String,
}

impl Settings {
    /// Binds the port.
    pub async fn listen(&self) -> anyhow::Result<TcpListener> {
        let mut address = self.listen;
        if self.lan {
            address.set_ip(IpAddr::V4(Ipv4Addr::UNSPECIFIED));
        }
        TcpListener::bind(address).await.with_context(|| {
            format!("Handround cannot listen on {address}. Is it running already? Try --listen 127.0.0.1:{}", PORT + 1)
        })
    }

    /// The addresses by which the bound port is reached.
    pub fn addresses(&self, listener: &TcpListener) -> anyhow::Result<Addresses> {
        let bound = listener.local_addr()?;
        let local = match bound.ip() {
            ip if !ip.is_unspecified() => Some(ip),
            _ => network_address(),
        };
        let children = match (&self.public_url, local) {
            (Some(url), _) => url.trim_end_matches('/').to_owned(),
            (None, Some(ip)) => format!("http://{}", SocketAddr::new(ip, bound.port())),
            (None, None) => anyhow::bail!(
                "This computer's address on the network could not be found. Is it connected? Otherwise name the address with --public-url"
            ),
        };
        ensure!(
            children.starts_with("http://") || children.starts_with("https://"),
            "--public-url must begin with http:// or https://"
        );
        Ok(Addresses { teacher: children.clone(), children })
    }

    /// Opens the data directory and brings the lessons back.
    pub async fn open_lessons(&self, public_url: String) -> anyhow::Result<Hub> {
        std::fs::create_dir_all(&self.data).with_context(|| {
            format!("the data directory {} cannot be made", self.data.display())
        })?;
        let store = open_store(&self.data)
            .await
            .with_context(|| format!("the data in {} cannot be opened", self.data.display()))?;
        Hub::restore(store, public_url).await
    }

    /// How teachers are let in.
    pub fn web_config(&self) -> anyhow::Result<WebConfig> {
        let one_time_key = OneTimeKey::draw().context("the system gives no random numbers")?;
        Ok(WebConfig { one_time_key, teacher_key: self.teacher_key.clone() })
    }
}

async fn open_store(dir: &Path) -> anyhow::Result<Arc<dyn Store>> {
    anyhow::bail!("there is no store yet for {}", dir.display())
}

/// Makes the demo's class.
pub async fn lay_demo(_hub: &Hub) -> anyhow::Result<()> {
    anyhow::bail!("there is no demo yet")
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

/// Prints where to go. The key appears here alone, never in the log.
pub async fn greet(hub: &Hub, addresses: &Addresses, config: &WebConfig) {
    println!("\nTeacher:   {}/teacher?key={}", addresses.teacher, config.one_time_key);
    println!("           This address works once, in one browser.");
    let join = join_address(hub).await.unwrap_or_else(|| format!("{}/", addresses.children));
    println!("\nChildren:  {join}\n");
    if let Ok(code) = qr::draw(&join, std::io::stdout().is_terminal()) {
        println!("{code}");
    }
    println!("Stop with Ctrl-C.");
}

/// The link of the only lesson, if there is just one that children may join.
async fn join_address(hub: &Hub) -> Option<String> {
    let lessons = hub.lessons().await;
    let [lesson] = lessons.as_slice() else {
        return None;
    };
    let board = hub.board(lesson.lesson).await?;
    let board = board.borrow();
    board.open.then(|| board.join_url.clone())
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
    tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).init();
}
