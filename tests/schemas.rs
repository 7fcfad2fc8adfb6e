//! Every JSON file that the program writes is what its schema in `docs/` says.

use std::fs;
use std::path::Path;

use boon::{Compiler, SchemaIndex, Schemas};
use serde_json::Value;

use crate::run::{Room, designs, files};

/// What the schema of a file of the packet says of a value.
fn judge(file: &str, value: &Value) -> Result<(), String> {
    let (schemas, index) = compiled(file);
    schemas.validate(value, index).map_err(|fault| format!("{fault:#}"))
}

fn compiled(file: &str) -> (Schemas, SchemaIndex) {
    let name = Path::new(file).file_stem().unwrap().to_str().unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("docs/{name}.schema.json"));
    let text = fs::read(&path).unwrap_or_else(|_| panic!("{file} has no schema"));
    let (mut schemas, mut compiler) = (Schemas::new(), Compiler::new());
    compiler.add_resource("schema.json", serde_json::from_slice(&text).unwrap()).unwrap();
    let index = compiler.compile("schema.json", &mut schemas).unwrap();
    (schemas, index)
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
            judge(path, &value).unwrap_or_else(|fault| panic!("{design}: {path}: {fault}"));
        }
    }
}

#[test]
fn a_model_with_a_key_missing_or_of_another_kind_is_not_one() {
    let mut model: Value = serde_json::from_str(&Room::new().well(&["solve"]).out).unwrap();
    assert_eq!(judge("model.json", &model), Ok(()));
    model["size"]["width"] = "wide".into();
    assert!(judge("model.json", &model).is_err());
    model["size"].as_object_mut().unwrap().remove("width");
    assert!(judge("model.json", &model).is_err());
}
