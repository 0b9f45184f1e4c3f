//! The real `handround` command, for tests that run it as a teacher does.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;

/// The command as built from the sources at hand, beside the test's own program.
///
/// # Panics
/// If it cannot be built.
pub fn handround() -> &'static Path {
    static PROGRAM: LazyLock<PathBuf> = LazyLock::new(build);
    &PROGRAM
}

/// Always asked for: a command left over from older sources would be tested in its place.
fn build() -> PathBuf {
    let own = std::env::current_exe().expect("a test's own program");
    // target/PROFILE/deps/NAME-HASH
    let profile = own.parent().and_then(Path::parent).expect("cargo's folder of a profile");
    let mut build = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    build.args(["build", "--quiet", "--workspace", "--bins"]);
    build.arg("--target-dir").arg(profile.parent().expect("cargo's target folder"));
    if profile.ends_with("release") {
        build.arg("--release");
    }
    let done = build.status().is_ok_and(|status| status.success());
    assert!(done, "the handround command could not be built");
    profile.join("handround")
}
