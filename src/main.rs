fn main() -> std::process::ExitCode {
    groovewright::cli::main(std::env::args_os())
}
