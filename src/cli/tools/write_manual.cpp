// Writes the manual page (man macros, man(7)) and the completion for bash from the command definitions.
#include "../command_line.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iostream>

namespace {

using chipledger::cli::Command;

/// Text for a manual page: backslashes and dashes are letters, and no line begins as a macro.
std::string troff(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\' || c == '-') out += '\\';
    if (c == '.' && (out.empty() || out.back() == '\n')) out += "\\&";
    out += c;
    if (c == '\\') out.back() = 'e';
  }
  return out;
}

std::string takes(const CLI::Option& option) { return option.get_items_expected_max() == 0 ? "" : " VALUE"; }

std::string manual(const CLI::App& app, const std::vector<Command>& commands) {
  std::string out = fmt::format(".TH CHIPLEDGER 1 \"\" \"{}\" \"User commands\"\n.SH NAME\nchipledger \\- {}\n",
                                troff(chipledger::cli::versionLine()), "prices the details of a milled chassis");
  out += ".SH SYNOPSIS\n.B chipledger\n.I command\n[\\fIoptions\\fR]\n.SH DESCRIPTION\n" +
         troff(app.get_description()) + "\n.SH COMMANDS\n";
  for (const Command& command : commands) {
    std::string call = command.app->get_name();
    for (const CLI::Option* option : command.app->get_options())
      if (option->get_positional()) call += " " + option->get_name(true);
    out += ".SS " + troff(call) + "\n" + troff(command.app->get_description()) + "\n";
    for (const CLI::Option* option : command.app->get_options())
      out += fmt::format(".TP\n\\fB{}\\fR{}\n{}\n", troff(option->get_name(option->get_positional())),
                         option->get_positional() ? "" : takes(*option), troff(option->get_description()));
  }
  return out + ".SH EXAMPLES AND EXIT CODES\n.nf\n" + troff(app.get_footer()) + "\n.fi\n";
}

std::string completion(const std::vector<Command>& commands) {
  std::string names, cases;
  for (const Command& command : commands) {
    names += (names.empty() ? "" : " ") + command.app->get_name();
    std::string options;
    for (const CLI::Option* option : command.app->get_options())
      for (const std::string& name : option->get_lnames()) options += (options.empty() ? "--" : " --") + name;
    cases += fmt::format("    {}) words=\"{}\" ;;\n", command.app->get_name(), options);
  }
  return fmt::format(R"(# Completion of chipledger for bash: commands, then their options, then files.
_chipledger() {{
  local current=${{COMP_WORDS[COMP_CWORD]}} words=""
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "{}" -- "$current"))
    return
  fi
  [[ $current == -* ]] || return 0
  case ${{COMP_WORDS[1]}} in
{}  esac
  COMPREPLY=($(compgen -W "$words" -- "$current"))
}}
complete -o default -F _chipledger chipledger
)",
                     names, cases);
}

bool write(const char* path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  return static_cast<bool>(out.flush());
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "write_manual MANUAL.1 COMPLETION.bash\n";
    return 2;
  }
  chipledger::cli::Options options;
  CLI::App app;
  const std::vector<Command> commands = chipledger::cli::describeCommands(app, options);
  return write(argv[1], manual(app, commands)) && write(argv[2], completion(commands)) ? 0 : 1;
}
