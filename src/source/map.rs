//! The loaded files: path, text, and the way from bytes to lines.

use super::{FileId, Span};

/// A place a person can find: lines and columns count from 1, columns in characters.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

struct Entry {
    path: String,
    text: String,
    lines: Vec<u32>,
}

/// All loaded files in sorted order of their shown paths.
#[derive(Default)]
pub struct SourceMap {
    files: Vec<Entry>,
}

impl SourceMap {
    /// Adds a file. Files must be added in sorted order of `path`.
    pub fn add(&mut self, path: String, text: String) -> FileId {
        let mut lines = vec![0];
        lines.extend(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| u32::try_from(i + 1).unwrap_or(u32::MAX)));
        self.files.push(Entry { path, text, lines });
        FileId(u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX))
    }

    fn entry(&self, file: FileId) -> Option<&Entry> {
        self.files.get(file.0 as usize)
    }

    /// Path as shown to people, with forward slashes.
    pub fn path(&self, file: FileId) -> &str {
        self.entry(file).map_or("", |e| &e.path)
    }

    /// The whole text.
    pub fn text(&self, file: FileId) -> &str {
        self.entry(file).map_or("", |e| &e.text)
    }

    /// The characters under a span; empty if the span is not inside the file.
    pub fn slice(&self, span: Span) -> &str {
        self.text(span.file).get(span.range()).unwrap_or("")
    }

    /// Number of files.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// True if nothing was loaded.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    /// All file ids in order.
    pub fn ids(&self) -> impl Iterator<Item = FileId> {
        (0..u32::try_from(self.files.len()).unwrap_or(u32::MAX)).map(FileId)
    }

    /// Line and column of a byte offset.
    pub fn position(&self, file: FileId, offset: u32) -> Position {
        let Some(entry) = self.entry(file) else { return Position { line: 1, column: 1 } };
        let line = entry.lines.partition_point(|start| *start <= offset).max(1);
        let start = entry.lines.get(line - 1).copied().unwrap_or(0) as usize;
        let upto = entry.text.get(start..offset as usize).unwrap_or("");
        Position { line, column: upto.chars().count() + 1 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let mut map = SourceMap::default();
        let file = map.add("a.yaml".into(), "é: x\r\nb: ü y\n".into());
        assert_eq!(map.position(file, 4), Position { line: 1, column: 4 });
        assert_eq!(map.position(file, 7), Position { line: 2, column: 1 });
        let y = u32::try_from(map.text(file).find('y').unwrap()).unwrap();
        assert_eq!(map.position(file, y), Position { line: 2, column: 6 });
    }
}
