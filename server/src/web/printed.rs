//! The frame of pages that the server writes itself: no script, and style sheets that print.

/// Text as HTML shows it; also safe inside a quoted attribute.
pub fn safe(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
        .replace('\'', "&#39;")
}

/// What a page's frame says of it. The body's class chooses its rules in the style sheets.
pub struct Frame<'a> {
    /// Such as `en`.
    pub language: &'a str,
    /// The window's title, without a child's name: windows are projected.
    pub title: &'a str,
    /// The body's class.
    pub class: &'a str,
    /// Style sheets beside `base`, by name.
    pub styles: &'a [&'a str],
    /// What stands above the main part, as HTML.
    pub above: &'a str,
}

impl Frame<'_> {
    /// The whole page around its main part, which is HTML.
    pub fn around(&self, main: &str) -> String {
        let Frame { language, title, class, styles, above } = self;
        let sheet = |name: &&str| format!("<link rel=\"stylesheet\" href=\"/pages/{name}.css\">");
        let sheets: String = ["base"].iter().chain(*styles).map(sheet).collect();
        format!(
            "<!doctype html>\n<html lang=\"{language}\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\
             <meta name=\"color-scheme\" content=\"light\"><title>{title}</title>\
             <link rel=\"icon\" href=\"/pages/art/leaf.svg\" type=\"image/svg+xml\">{sheets}</head>\
             <body class=\"{class}\">{above}<main>{main}</main></body></html>\n",
            title = safe(title)
        )
    }
}
