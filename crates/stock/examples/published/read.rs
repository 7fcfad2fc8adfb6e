//! Reads instances: one JSON object a line, or one a file.

use std::fs;
use std::path::Path;

use serde_json::Value;

/// The files whose names begin with one of these, each with its instances.
pub(crate) fn folder(folder: &Path, begin: &[&str]) -> Vec<(String, Vec<Value>)> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .map(|entries| entries.flatten().filter_map(|e| e.file_name().into_string().ok()).collect())
        .unwrap_or_default();
    names.sort();
    names.retain(|n| begin.iter().any(|b| n.starts_with(b)) && (n.ends_with(".jsonl") || n.ends_with(".json")));
    let read = |name: String| {
        let text = fs::read_to_string(folder.join(&name)).unwrap_or_default();
        let values = serde_json::Deserializer::from_str(&text).into_iter().flatten().collect();
        (name, values)
    };
    names.into_iter().map(read).collect()
}

/// A whole number under a key; 0 if there is none.
pub(crate) fn int(value: &Value, key: &str) -> i64 {
    value[key].as_i64().unwrap_or(0)
}

/// A count under a key; 0 if there is none.
pub(crate) fn count(value: &Value, key: &str) -> usize {
    usize::try_from(int(value, key)).unwrap_or(0)
}

/// The list under a key.
pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}
