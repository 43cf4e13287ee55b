//! The rooms stand in pipeline order, and imports flow one way through them.

use std::fs;
use std::path::{Path, PathBuf};

const ROOMS: [&str; 14] = [
    "fault", "length", "colour", "picture", "palette", "grid", "panel", "paint", "outline", "cut", "plan",
    "wall", "sheet", "output",
];

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder of sources") {
        let path = entry.expect("a readable folder").path();
        if path.is_dir() {
            found.extend(files(&path));
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
    found
}

#[test]
fn imports_flow_one_way() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut read = 0;
    for (place, room) in ROOMS.iter().enumerate() {
        for file in files(&source.join(room)) {
            read += 1;
            let text = fs::read_to_string(&file).unwrap();
            for line in text.lines().filter(|line| !line.trim_start().starts_with("//")) {
                for later in &ROOMS[place + 1..] {
                    let name = format!("crate::{later}");
                    assert!(!line.contains(&name), "{} uses the later room {later}: {line}", file.display());
                }
            }
        }
    }
    assert!(read > 40, "only {read} files were read");
}

#[test]
fn every_room_is_in_the_list() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut folders: Vec<String> = fs::read_dir(source)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    folders.sort();
    let mut rooms = ROOMS.map(str::to_owned).to_vec();
    rooms.sort();
    assert_eq!(folders, rooms);
}
