//! Every JSON file that the program writes is what its schema in `docs/` says.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::run::{Room, designs, files};

/// The schema of a file of the packet.
fn schema(file: &str) -> Value {
    let name = Path::new(file).file_stem().unwrap().to_str().unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("docs/{name}.schema.json"));
    serde_json::from_slice(&fs::read(&path).unwrap_or_else(|_| panic!("{file} has no schema"))).unwrap()
}

#[test]
fn every_json_file_of_a_packet_is_what_its_schema_says() {
    for design in designs() {
        let room = Room::new();
        room.well(&["packet", &design]);
        let found = files(&room.path("packet"));
        let json: Vec<_> = found.iter().filter(|(path, _)| path.ends_with(".json")).collect();
        assert!(json.len() >= 2, "{design}");
        for (path, bytes) in json {
            let value: Value = serde_json::from_slice(bytes).unwrap();
            let validator = jsonschema::validator_for(&schema(path)).unwrap();
            let faults: Vec<_> = validator.iter_errors(&value).take(3).map(|fault| fault.to_string()).collect();
            assert_eq!(faults, [""; 0], "{design}: {path}");
        }
    }
}

#[test]
fn a_model_with_a_key_missing_or_of_another_kind_is_not_one() {
    let mut model: Value = serde_json::from_str(&Room::new().well(&["solve"]).out).unwrap();
    let validator = jsonschema::validator_for(&schema("model.json")).unwrap();
    assert!(validator.is_valid(&model));
    model["size"]["width"] = "wide".into();
    assert!(!validator.is_valid(&model));
    model["size"].as_object_mut().unwrap().remove("width");
    assert!(!validator.is_valid(&model));
}
