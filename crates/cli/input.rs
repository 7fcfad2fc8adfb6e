//! From what was typed to a job: the one place of the command that reads files.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use design::{Job, Resolved, builtin};
use fault::{Fault, Faults, Place, Source, Value, nearest, or_list, tick};

use packet::Texts;
use routing::{BUILT_IN_MACHINE, BUILT_IN_TOOLS, Machine, ToolTable};
use yard::Rack;

use crate::args::OrderArgs;

/// An order worked out, the shop that makes it, and the texts that all this was read from.
pub(crate) struct Input {
    /// The job, to be worked out again at other values.
    pub(crate) job: Job,
    /// As ordered.
    pub(crate) resolved: Resolved,
    /// The router.
    pub(crate) machine: Machine,
    /// Its tools.
    pub(crate) tools: ToolTable,
    /// The boards and sheets at hand, if a file names them.
    pub(crate) rack: Option<Rack>,
    /// Order, design, woods, machine, tools and stock, as they were read.
    pub(crate) texts: Texts,
}

/// Reads the order, and the files that it names; all faults of the shop's files in one run.
pub(crate) fn read(args: &OrderArgs) -> Result<Input, Faults> {
    read_with(args, None)
}

/// As [`read`], with a stock file that wins over the order's.
pub(crate) fn read_with(args: &OrderArgs, stock: Option<&Path>) -> Result<Input, Faults> {
    let (order, folder) = order(args.order.as_deref())?;
    let (job, resolved) = Job::read(&order, &args.settings, |path| source(&folder.join(path)))?;

    let mut faults = Faults::new();
    let shop = &resolved.order.shop;
    let mut shop_file = |key: &str, named: Option<&str>, built_in: &str| match named {
        None => Source::new(format!("{key}.toml"), built_in),
        Some(path) => source(&folder.join(path)).unwrap_or_else(|why| {
            let named = Source::new(format!("{} [shop] {key}", order.name), path);
            let place = Place::new(&named, 0..path.len());
            faults.push(Fault::new(&place, format!("the {key} file {} cannot be read: {why}", tick(path))));
            Source::new(path, built_in)
        }),
    };
    let machine = shop_file("machine", shop.machine.as_deref(), BUILT_IN_MACHINE);
    let tools = shop_file("tools", shop.tools.as_deref(), BUILT_IN_TOOLS);
    let unit = resolved.order.unit;
    let stock = match (stock, shop.stock.as_deref()) {
        (Some(path), _) => match source(path) {
            Ok(source) => Some(source),
            Err(why) => return Err(unreadable("--stock", &path.display().to_string(), &why)),
        },
        (None, Some(path)) => Some(shop_file("stock", Some(path), "")),
        (None, None) => None,
    };
    let texts = Texts {
        order: order.text.clone(),
        design: job.design_text().to_owned(),
        woods: job.woods_text().map(str::to_owned),
        machine: machine.text.clone(),
        tools: tools.text.clone(),
        stock: stock.as_ref().map(|source| source.text.clone()),
        settings: args.settings.clone(),
    };
    let machine = Machine::read(&machine).map_err(|found| faults.append(found)).ok();
    let tools = ToolTable::read(&tools).map_err(|found| faults.append(found)).ok();
    let rack = match &stock {
        Some(source) => Rack::read(source, unit).map_err(|found| faults.append(found)).ok().map(Some),
        None => Some(None),
    };
    let shop = machine.zip(tools).zip(rack);
    let ((machine, tools), rack) = faults.or(shop)?;
    Ok(Input { job, resolved, machine, tools, rack, texts })
}

/// The fault of a file named on the command line that cannot be read.
fn unreadable(argument: &str, path: &str, why: &str) -> Faults {
    let named = Source::new(argument, path);
    Fault::new(&Place::new(&named, 0..path.len()), format!("the file {} cannot be read: {why}", tick(path))).into()
}

/// The order's text, and the folder from which it counts its paths.
fn order(given: Option<&str>) -> Result<(Arc<Source>, PathBuf), Faults> {
    let Some(given) = given else { return Ok((Source::new("demo.toml", builtin::DEMO_ORDER), PathBuf::new())) };
    if builtin::design(given).is_some() {
        return Ok((design::plain_order(given), PathBuf::new()));
    }
    let path = Path::new(given);
    let source = source(path).map_err(|why| unknown(given, &why))?;
    if is_design(&source) {
        return Ok((design::plain_order(given), PathBuf::new()));
    }
    Ok((source, path.parent().map(Path::to_owned).unwrap_or_default()))
}

/// The fault of an argument that is neither a file that can be read nor the name of a design.
pub(crate) fn unknown(given: &str, why: &str) -> Faults {
    let argument = Source::new("ORDER", given);
    let known = || builtin::DESIGNS.iter().map(|(name, _)| *name);
    let fault = Fault::new(&Place::new(&argument, 0..given.len()), format!("{} cannot be read: {why}", tick(given)));
    Faults::from(match nearest(given, known()) {
        Some(near) => fault.mend(format!("write `{near}`")),
        None => fault.expected(format!("{}, or the path of an order or a design", or_list(known()))),
    })
}

/// A design says by which system it is built; an order names a design. The syntax is judged later, by whoever reads it.
fn is_design(source: &Arc<Source>) -> bool {
    let root = fault::parse(source, &mut Faults::new());
    matches!(&root.value, Value::Table(table) if table.get("design").is_none() && table.get("system").is_some())
}

/// A file's text; the error is a phrase.
pub(crate) fn source(path: &Path) -> Result<Arc<Source>, String> {
    let bytes = fs::read(path).map_err(|e| e.to_string().to_lowercase())?;
    let text = String::from_utf8(bytes).map_err(|_| String::from("it is not UTF-8 text"))?;
    Ok(Source::new(path.display().to_string(), text))
}
