//! The table and the curve as text and as CSV.

use super::curves::{CurvePoint, HOLD_ROWS, HoldPoint};
use super::rivals::Rival;
use super::score::{Estimate, Row, Score};
use std::fmt::Write as _;

/// A share as `.998`, which is how the tables read.
fn short(share: f64) -> String {
    if share.is_nan() {
        return "-".to_owned();
    }
    let text = format!("{share:.4}");
    text.strip_prefix('0').unwrap_or(&text).to_owned()
}

fn shares(score: &Score) -> String {
    let each = score.shares().into_iter().map(|share| format!("{share:.3}"));
    each.map(|share| share.strip_prefix('0').unwrap_or(&share).to_owned())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Whether the hold is as short as asked, where that is asked.
fn hit(row: &Row) -> Option<&'static str> {
    row.hold_hit().map(|hit| if hit { "hit" } else { "miss" })
}

/// For reading in a terminal: a block a row.
pub fn text(rows: &[Row], seed: u64) -> String {
    let mut out = format!("seed {seed}\n");
    for row in rows {
        let profile = &row.profile;
        let (mean, median, most) = row.hold_ms();
        let _ = write!(
            out,
            "\n{}: {}; {} races, reactions {} +- {} ms\n{:<18}{:>8}{:>8}   share of last places by seat\n",
            profile.name,
            profile.about,
            row.races,
            profile.reaction_ms.0,
            profile.reaction_ms.1,
            "",
            "pairs",
            "loser",
        );
        let mut line = |name: &str, score: &Score| {
            let (pairs, loser) = (short(score.pairs()), short(score.loser()));
            let _ = writeln!(out, "  {name:<16}{pairs:>8}{loser:>8}   {}", shares(score));
        };
        line("ours", &row.ours);
        for (rival, score) in Rival::ALL.into_iter().zip(&row.rivals) {
            line(rival.name(), score);
        }
        let _ = writeln!(
            out,
            "  void {}; hold mean {mean:.0}, p50 {median:.0}, p99 {most:.0} ms",
            short(row.void()),
        );
        let over = row.over_p99_ms();
        if !over.is_nan() {
            let _ = writeln!(
                out,
                "  hold p99 beyond the greatest trip {over:.0} ms{}; {} of races beyond 50{}",
                hit(row).map(|hit| format!(": {hit}")).unwrap_or_default(),
                short(row.held_beyond()),
                Some(row.held_cause())
                    .filter(|why| !why.is_empty())
                    .map(|why| format!(" ({why})"))
                    .unwrap_or_default(),
            );
        }
        if profile.target.spared.is_some() || profile.about.contains("seat 2 ") {
            let Estimate { share, error } = row.spared();
            let _ = writeln!(out, "  seat 2 is spared {share:+.4} of last places (+- {error:.4})");
        }
        let misses = row.misses();
        for miss in &misses {
            let _ = writeln!(out, "  MISSES: {miss}");
        }
        if !misses.is_empty() && !profile.cause.is_empty() {
            let _ = writeln!(out, "  because {}", profile.cause);
        }
    }
    out
}

/// For a spreadsheet: a line a row and rule.
pub fn csv(rows: &[Row], seed: u64) -> String {
    let mut out = String::from(
        "seed,row,races,rule,pairs,loser,last_places,void,hold_mean_ms,hold_p50_ms,hold_p99_ms,\
         hold_beyond_p99_ms,hold_beyond_asked,hold_beyond_share,hold_beyond_cause,spared,spared_error,misses,cause\n",
    );
    for row in rows {
        let (mean, median, most) = row.hold_ms();
        let rivals = Rival::ALL.into_iter().map(Rival::name).zip(&row.rivals);
        for (name, score) in std::iter::once(("ours", &row.ours)).chain(rivals) {
            let own = name == "ours";
            let only_ours = |text: String| if own { text } else { String::new() };
            let over = row.over_p99_ms();
            let misses = row.misses().join("; ");
            let cause = if misses.is_empty() { "" } else { row.profile.cause };
            let _ = writeln!(
                out,
                "{seed},{},{},{name},{:.5},{:.5},{},{},{},{},{},{},{},{},{},{},{},{},{}",
                row.profile.name,
                row.races,
                score.pairs(),
                score.loser(),
                shares(score),
                only_ours(format!("{:.5}", row.void())),
                only_ours(format!("{mean:.1}")),
                only_ours(format!("{median:.1}")),
                only_ours(format!("{most:.1}")),
                only_ours(if over.is_nan() { String::new() } else { format!("{over:.1}") }),
                only_ours(hit(row).unwrap_or_default().to_owned()),
                only_ours(format!("{:.5}", row.held_beyond())),
                only_ours(row.held_cause()),
                only_ours(format!("{:.5}", row.spared().share)),
                only_ours(format!("{:.5}", row.spared().error)),
                only_ours(misses),
                // A comma would begin another column.
                only_ours(cause.replace(',', ";")),
            );
        }
    }
    out
}

/// The curve of the cap.
pub fn curve_text(points: &[CurvePoint], seed: u64) -> String {
    let mut out = format!(
        "\nThe cap on credit (seed {seed}): honest seats on Wi-Fi-like links of 10, 60, 150, 300 ms, and what\n\
         a claim 200 ms too low is spared of last places among four.\n\
         {:>8}{:>10}{:>10}{:>14}{:>14}{:>12}{:>12}{:>19}\n",
        "cap ms",
        "pairs",
        "loser",
        "pairs, plain",
        "loser, plain",
        "Wi-Fi 60",
        "steady",
        "late pongs, proxy",
    );
    for point in points {
        let _ = writeln!(
            out,
            "{:>8}{:>10}{:>10}{:>14}{:>14}{:>+12.4}{:>+12.4}{:>+19.4}",
            point.cap_ms,
            short(point.honest.pairs()),
            short(point.honest.loser()),
            short(point.honest_plain.pairs()),
            short(point.honest_plain.loser()),
            point.spared,
            point.spared_steady,
            point.spared_late,
        );
    }
    out
}

/// The curve of the hold.
pub fn hold_text(points: &[HoldPoint], seed: u64) -> String {
    let mut out = format!(
        "\nThe hold (seed {seed}): a silent seat that was unheard for no longer than this is waited for till the\n\
         greatest plausible round trip and 50 ms; one unheard for longer until word comes.\n{:>12}",
        "unheard ms",
    );
    for name in HOLD_ROWS {
        let _ = write!(
            out,
            " | {name:<12}{:>8}{:>8}{:>14}{:>8}",
            "pairs", "loser", "p99 beyond ms", "> 50"
        );
    }
    out.push('\n');
    for point in points {
        let _ = write!(out, "{:>12}", point.unheard_ms);
        for row in &point.rows {
            let _ = write!(
                out,
                " | {:<12}{:>8}{:>8}{:>14.0}{:>8}",
                "",
                short(row.ours.pairs()),
                short(row.ours.loser()),
                row.over_p99_ms(),
                short(row.held_beyond()),
            );
        }
        out.push('\n');
    }
    out
}
