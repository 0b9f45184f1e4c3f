//! Names read from the protocol's own source, so that no list of them can fall behind.

/// Each file of the wire's types.
pub const SOURCES: [&str; 12] = [
    include_str!("../../src/message.rs"),
    include_str!("../../src/view.rs"),
    include_str!("../../src/refusal.rs"),
    include_str!("../../src/house.rs"),
    include_str!("../../src/picture.rs"),
    include_str!("../../src/face.rs"),
    include_str!("../../src/join.rs"),
    include_str!("../../src/close.rs"),
    include_str!("../../src/id.rs"),
    include_str!("../../src/skill.rs"),
    include_str!("../../src/support.rs"),
    include_str!("../../src/cheer.rs"),
];

/// An enum of the wire and its variants as they stand in JSON.
pub struct WireEnum {
    pub name: String,
    pub variants: Vec<String>,
}

/// All enums of the wire. It relies on rustfmt: a variant stands four spaces in.
pub fn enums() -> Vec<WireEnum> {
    let mut found: Vec<WireEnum> = Vec::new();
    for source in SOURCES {
        let mut inside = false;
        for line in source.lines() {
            if let Some(name) = line.strip_prefix("pub enum ") {
                let name = name.trim_end_matches(" {").to_owned();
                found.push(WireEnum { name, variants: Vec::new() });
                inside = true;
            } else if line == "}" {
                inside = false;
            } else if let Some(variant) = line.strip_prefix("    ").filter(|_| inside) {
                let name: String =
                    variant.chars().take_while(char::is_ascii_alphanumeric).collect();
                if name.starts_with(|first: char| first.is_ascii_uppercase()) {
                    let found = found.last_mut().unwrap();
                    let lower = found.name == "Picture";
                    found.variants.push(if lower { name.to_lowercase() } else { name });
                }
            }
        }
    }
    assert!(found.iter().map(|found| found.variants.len()).sum::<usize>() > 150);
    found
}

/// The public fields of all structs and variants of the wire.
pub fn fields() -> Vec<String> {
    let mut fields: Vec<String> = SOURCES
        .iter()
        .flat_map(|source| source.lines())
        .filter_map(|line| {
            let line = line.trim_start();
            let (name, rest) = line.strip_prefix("pub ").unwrap_or(line).split_once(": ")?;
            let plain = name.chars().all(|c| c.is_ascii_lowercase() || c == '_');
            (plain && rest.ends_with(',')).then(|| name.to_owned())
        })
        .collect();
    fields.sort();
    fields.dedup();
    fields
}
