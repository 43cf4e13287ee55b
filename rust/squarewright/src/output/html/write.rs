//! Writing HTML: whatever is text or the value of an attribute is escaped.

use std::fmt::Write as _;

use crate::output::svg::escaped;

/// Attributes of a tag: names are ours, values may be anything.
pub(super) type Attributes<'a> = &'a [(&'a str, &'a str)];

/// A page that grows.
#[derive(Debug)]
pub(super) struct Html(String);

impl Html {
    pub(super) fn new() -> Self {
        Self(String::new())
    }

    pub(super) fn finish(self) -> String {
        self.0
    }

    /// Writes what is markup already; never anything that came from outside.
    pub(super) fn raw(&mut self, markup: &'static str) {
        self.0.push_str(markup);
    }

    fn tag(&mut self, name: &str, attributes: Attributes<'_>) {
        self.0.push('<');
        self.0.push_str(name);
        for (attribute, value) in attributes {
            // Writing to a String cannot fail.
            let _ = write!(self.0, " {attribute}=\"{}\"", escaped(value));
        }
        self.0.push('>');
    }

    /// Opens an element that holds others.
    pub(super) fn open(&mut self, name: &str, attributes: Attributes<'_>) {
        self.tag(name, attributes);
        self.0.push('\n');
    }

    /// Closes an element.
    pub(super) fn close(&mut self, name: &str) {
        let _ = writeln!(self.0, "</{name}>");
    }

    /// Writes an element that holds nothing.
    pub(super) fn void(&mut self, name: &str, attributes: Attributes<'_>) {
        self.open(name, attributes);
    }

    /// Writes an element that holds text.
    pub(super) fn element(&mut self, name: &str, attributes: Attributes<'_>, text: &str) {
        self.tag(name, attributes);
        self.0.push_str(&escaped(text));
        self.close(name);
    }
}

#[cfg(test)]
mod tests {
    use super::Html;

    /// Source: WHATWG HTML, "Text" and "Attributes": what must not stand there as it is.
    #[test]
    fn text_and_values_stay_text_and_values() {
        let mut html = Html::new();
        html.element("p", &[("title", "\" onload='x'")], "</p><script>&amp;");
        let wanted = "<p title=\"&quot; onload=&#39;x&#39;\">&lt;/p&gt;&lt;script&gt;&amp;amp;</p>\n";
        assert_eq!(html.finish(), wanted);
    }
}
