//! What the program wrote, read by readers that are not ours: RS-274, SVG, CSV.

use std::collections::BTreeMap;

use gcode::{Argument, Code, Value as Word};

use crate::run::{Room, designs, files};

/// The packets of all designs, file by file.
fn packets() -> Vec<(String, BTreeMap<String, Vec<u8>>)> {
    let packet = |design: String| {
        let room = Room::new();
        room.well(&["packet", &design]);
        (design, files(&room.path("packet")))
    };
    designs().into_iter().map(packet).collect()
}

/// The files of a packet that end so, as text; at least one.
fn texts<'a>(packet: &'a BTreeMap<String, Vec<u8>>, end: &str) -> Vec<(&'a str, &'a str)> {
    let ending = packet.iter().filter(|(path, _)| path.ends_with(end));
    let texts: Vec<_> = ending.map(|(path, bytes)| (path.as_str(), std::str::from_utf8(bytes).unwrap())).collect();
    assert!(!texts.is_empty(), "no file ends with {end}");
    texts
}

/// The words of a line as it is written, comments aside: a letter and a number.
fn written(line: &str) -> Vec<(char, f64)> {
    let mut code = String::new();
    let mut depth = 0;
    for c in line.chars() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            c if depth == 0 && !c.is_whitespace() => code.push(c),
            _ => {}
        }
    }
    let starts: Vec<usize> = code.char_indices().filter(|(_, c)| c.is_ascii_alphabetic()).map(|(i, _)| i).collect();
    let ends = starts.iter().skip(1).copied().chain([code.len()]);
    let word =
        |(from, to): (&usize, usize)| (code[*from..].chars().next().unwrap(), code[from + 1..to].parse().unwrap());
    starts.iter().zip(ends).map(word).collect()
}

/// The words as the crate `gcode` reads them, by line.
fn read(text: &str) -> BTreeMap<usize, Vec<(char, f64)>> {
    let program = gcode::parse(text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let mut lines: BTreeMap<usize, Vec<(char, f64)>> = BTreeMap::new();
    let mut note = |line: usize, letter: char, value: f64| lines.entry(line).or_default().push((letter, value));
    let number = |word: &Word| match word {
        Word::Literal(n) => f64::from(*n),
        other => panic!("{other:?} is no number"),
    };
    for block in &program.blocks {
        if let Some(n) = block.line_number {
            note(block.span.line, 'N', n.into());
        }
        for word in &block.word_addresses {
            note(word.span.line, word.letter, number(&word.value));
        }
        for code in &block.codes {
            let (letter, value, span, args): (_, _, _, &[Argument]) = match code {
                Code::General(c) => ('G', c.number, c.span, &c.args),
                Code::Miscellaneous(c) => ('M', c.number, c.span, &c.args),
                Code::ToolChange(c) => ('T', c.number, c.span, &c.args),
                other => panic!("{other:?} is no code of ours"),
            };
            note(span.line, letter, value.to_string().parse().unwrap());
            for arg in args {
                note(arg.span.line, arg.letter, number(&arg.value));
            }
        }
    }
    lines
}

#[test]
fn another_reader_of_rs_274_finds_the_same_words_in_every_line_of_every_program() {
    let mut words = 0;
    for (design, packet) in packets() {
        for (path, text) in texts(&packet, ".nc") {
            let mut read = read(text);
            for (i, line) in text.lines().enumerate().filter(|(_, line)| *line != "%") {
                let (mut ours, mut theirs) = (written(line), read.remove(&i).unwrap_or_default());
                let by_word = |a: &(char, f64), b: &(char, f64)| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1));
                ours.sort_by(by_word);
                theirs.sort_by(by_word);
                // That reader holds numbers in 32 bits.
                let same =
                    |(a, b): (&(char, f64), &(char, f64))| a.0 == b.0 && (a.1 - b.1).abs() <= 1e-6 * (1.0 + a.1.abs());
                let alike = ours.len() == theirs.len() && ours.iter().zip(&theirs).all(same);
                assert!(alike, "{design}: {path}:{}: {line:?} is read as {theirs:?}", i + 1);
                words += ours.len();
            }
            assert!(read.is_empty(), "{design}: {path}: words in lines that are not there: {read:?}");
        }
    }
    assert!(words > 10_000, "{words}");
}

#[test]
fn every_svg_is_well_formed_with_a_size_in_millimetres() {
    for (design, packet) in packets() {
        for (path, text) in texts(&packet, ".svg") {
            let document = roxmltree::Document::parse(text).unwrap_or_else(|e| panic!("{design}: {path}: {e}"));
            let svg = document.root_element();
            assert_eq!(svg.tag_name().name(), "svg", "{design}: {path}");
            for side in ["width", "height"] {
                let size = svg.attribute(side).and_then(|size| size.strip_suffix("mm")).map(str::parse::<f64>);
                assert!(matches!(size, Some(Ok(size)) if size > 0.0), "{design}: {path}: {side}");
            }
            let foreign = document
                .descendants()
                .find(|node| node.attributes().any(|a| a.name() == "href" && !a.value().starts_with('#')));
            assert!(foreign.is_none(), "{design}: {path} asks for something outside itself: {foreign:?}");
        }
    }
}

#[test]
fn every_table_has_its_header_in_every_row_and_counts_every_part_once() {
    for (design, packet) in packets() {
        for (path, text) in texts(&packet, ".csv") {
            let mut reader = csv::Reader::from_reader(text.as_bytes());
            let columns = reader.headers().unwrap().len();
            for row in reader.records() {
                assert_eq!(row.unwrap_or_else(|e| panic!("{design}: {path}: {e}")).len(), columns);
            }
            assert!(text.lines().all(|line| !line.is_empty()) && text.ends_with("\r\n"), "{design}: {path}");
        }
        let list = &packet["lists/cut-list.csv"];
        let mut reader = csv::Reader::from_reader(list.as_slice());
        let mut column = |name| reader.headers().unwrap().iter().position(|header| header == name).unwrap();
        let (parts, count) = (column("parts"), column("count"));
        let mut listed = Vec::new();
        for row in reader.records() {
            let row = row.unwrap();
            let ids: Vec<String> = row[parts].split(' ').map(str::to_owned).collect();
            assert_eq!(ids.len(), row[count].parse::<usize>().unwrap());
            listed.extend(ids);
        }
        listed.sort_by_key(|id| id[1..].parse::<u32>().unwrap());
        let model: serde_json::Value = serde_json::from_slice(&packet["model.json"]).unwrap();
        let ids: Vec<_> = model["parts"].as_array().unwrap().iter().map(|part| part["id"].as_str().unwrap()).collect();
        assert_eq!(listed, ids, "{design}");
    }
}
