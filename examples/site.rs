//! Writes the site of some packs to a folder: `cargo run --example site -- OUT PACK...`.
//! Templates in `templates/` of the working folder take the place of the shipped ones.

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1).map(std::path::PathBuf::from);
    let out = args.next().ok_or("name an output folder")?;
    let packs: Vec<_> = args.collect();
    let judged = fascicle::build::judge(&packs, jiff::civil::date(2026, 12, 1)).map_err(|e| e.to_string())?;
    let catalog = judged.catalog.as_ref().ok_or("no catalogue")?;
    let mut texts = Vec::new();
    for entry in walkdir::WalkDir::new("templates").into_iter().flatten().filter(|e| e.file_type().is_file()) {
        let name = entry.path().strip_prefix("templates")?.to_string_lossy().to_string();
        texts.push((name, std::fs::read_to_string(entry.path())?));
    }
    let templates = fascicle::render::Templates::with_overrides(std::path::Path::new("templates"), texts)?;
    let plan = fascicle::plan::plan(catalog, &judged.facts);
    for built in fascicle::render::render(&plan, &templates)? {
        let path = out.join(&built.path);
        std::fs::create_dir_all(path.parent().ok_or("no parent")?)?;
        std::fs::write(path, &built.bytes)?;
    }
    println!("clashes {:?} overfull {:?}", plan.clashes, plan.overfull);
    Ok(())
}
