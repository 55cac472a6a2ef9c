//! Findings for people, with the very characters underlined, several files in one report.
//!
//! The renderer knows one text per report. The files of a finding are therefore laid end to end,
//! the primary file first, and a read that would cross two files is refused, which the renderer
//! answers by drawing one snippet for each file.

use crate::finding::{Finding, Label, Level};
use crate::source::{FileId, SourceMap};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, Severity, SourceCode, SourceSpan,
};

/// Renders one finding.
pub fn render(finding: &Finding, map: &SourceMap, width: usize, colour: bool) -> String {
    let theme = if colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
    let handler = GraphicalReportHandler::new_themed(theme).with_width(width).with_context_lines(1);
    let report = Report { finding, files: Files::of(finding, map) };
    let mut out = String::new();
    if handler.render_report(&mut out, &report).is_err() {
        out = format!("{}: {}\n", finding.level.word(), finding.message);
    }
    out
}

struct Report<'a> {
    finding: &'a Finding,
    files: Files<'a>,
}

impl std::fmt::Debug for Report<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.finding.check)
    }
}

impl std::fmt::Display for Report<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.finding.message)
    }
}

impl std::error::Error for Report<'_> {}

impl Diagnostic for Report<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        Some(Box::new(self.finding.check))
    }

    fn severity(&self) -> Option<Severity> {
        Some(match self.finding.level {
            Level::Error => Severity::Error,
            Level::Warning => Severity::Warning,
            Level::Note => Severity::Advice,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        let mut lines: Vec<&str> = self.finding.notes.iter().map(String::as_str).collect();
        lines.extend(self.finding.help.as_deref());
        (!lines.is_empty()).then(|| Box::new(lines.join("\n")) as Box<dyn std::fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.files)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let primary = std::iter::once(self.files.label(&self.finding.primary, true));
        let related = self.finding.related.iter().map(|l| self.files.label(l, false));
        Some(Box::new(primary.chain(related).flatten()))
    }
}

/// The files of a finding, end to end.
struct Files<'a> {
    parts: Vec<(FileId, usize, &'a str, &'a str)>,
}

impl<'a> Files<'a> {
    fn of(finding: &Finding, map: &'a SourceMap) -> Self {
        let mut parts: Vec<(FileId, usize, &str, &str)> = Vec::new();
        let mut offset = 0;
        for label in std::iter::once(&finding.primary).chain(&finding.related) {
            let file = label.span.file;
            if parts.iter().all(|(f, ..)| *f != file) {
                let text = map.text(file);
                parts.push((file, offset, map.path(file), text));
                offset += text.len() + 1;
            }
        }
        Self { parts }
    }

    fn label(&self, label: &Label, primary: bool) -> Option<LabeledSpan> {
        let (_, offset, _, text) = self.parts.iter().find(|(f, ..)| *f == label.span.file)?;
        let range = label.span.range();
        let length = trimmed_len(text.get(range.clone()).unwrap_or(""));
        let span = SourceSpan::new((offset + range.start).into(), length);
        let words = (!label.text.is_empty()).then(|| label.text.clone());
        Some(if primary { LabeledSpan::new_primary_with_span(words, span) } else { LabeledSpan::new_with_span(words, span) })
    }
}

/// Length of the first lines of a span, so that a long one does not fill the screen.
fn trimmed_len(text: &str) -> usize {
    text.find('\n').map_or(text.len(), |i| text[..i].trim_end().len())
}

impl SourceCode for Files<'_> {
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn miette::SpanContents<'s> + 's>, MietteError> {
        let part = self.parts.iter().rev().find(|(_, offset, ..)| *offset <= span.offset()).ok_or(MietteError::OutOfBounds)?;
        let (_, offset, path, text) = part;
        if span.offset() + span.len() > offset + text.len() {
            return Err(MietteError::OutOfBounds);
        }
        let local = SourceSpan::new((span.offset() - offset).into(), span.len());
        let inner = text.read_span(&local, before, after)?;
        let global = SourceSpan::new((inner.span().offset() + offset).into(), inner.span().len());
        Ok(Box::new(MietteSpanContents::new_named(
            (*path).to_string(),
            inner.data(),
            global,
            inner.line(),
            inner.column(),
            inner.line_count(),
        )))
    }
}
