#include "report/page.hpp"

#include <chipledger/report/charts.hpp>
#include <chipledger/report/markup.hpp>
#include <chipledger/report/sections.hpp>

#include "report/page_texts.hpp"

namespace chipledger::report {

std::string section(const std::string& heading, const std::string& markup) {
  return "<section>\n<h2>" + escaped(heading) + "</h2>\n" + markup + "</section>\n";
}

std::string pageHtml(const Page& page, const SheetOptions& options) {
  std::string out =
      "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
      "script-src 'unsafe-inline'; img-src data:\">\n<title>" +
      escaped(page.title) + "</title>\n<style>" + kPageStyle + "</style>\n</head>\n<body>\n" + lineTextures() +
      "<div class=\"sheet\">\n<header><h1>" + escaped(page.title) + "</h1>";
  for (const std::string& fact : page.facts) out += "<p>" + escaped(fact) + "</p>";
  out += "<p>" + escaped(options.date) + "</p><p class=\"quote\">" + kEstimateNotQuote + "</p></header>\n<main>\n" +
         page.main + "</main>\n<footer><span>" + escaped(options.date) + "</span><span>chipledger " +
         escaped(options.version) + "</span>";
  for (const std::string& words : page.foot) out += "<span>" + escaped(words) + "</span>";
  out += "<span>" + std::string(kEstimateNotQuote) + "</span></footer>\n</div>\n<script>" + kPageScript + "</script>\n";
  if (page.turns) out += "<script>" + std::string(kSolidScript) + "</script>\n";
  return out + "</body>\n</html>\n";
}

}  // namespace chipledger::report
