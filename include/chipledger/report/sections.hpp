#pragma once
// The headings of every sheet, in their order. Terminal and HTML use the same words.

namespace chipledger::report {

inline constexpr const char* kWhatYouDrew = "What you drew";
inline constexpr const char* kTheBlank = "The blank";
inline constexpr const char* kOrderOfWork = "Order of work";
inline constexpr const char* kCutters = "Cutters";
inline constexpr const char* kMinutes = "Minutes";
inline constexpr const char* kPriceByDetail = "Price by detail";
inline constexpr const char* kSharedCost = "Shared cost";
inline constexpr const char* kByBatch = "By batch";
inline constexpr const char* kDoubts = "Doubts";
inline constexpr const char* kStillToAnswer = "Still to answer";
inline constexpr const char* kCautions = "Cautions";

inline constexpr const char* kOwnersHours = "Owner's hours";
inline constexpr const char* kListPrice = "List price";
inline constexpr const char* kBuyList = "Buy list";
inline constexpr const char* kWhatYouChose = "What you chose";

inline constexpr const char* kSections[] = {kWhatYouDrew, kTheBlank,      kOrderOfWork, kCutters,
                                            kMinutes,     kPriceByDetail, kSharedCost,  kByBatch,
                                            kDoubts,      kStillToAnswer, kCautions};

inline constexpr const char* kEstimateNotQuote = "estimate, not a quote";

}  // namespace chipledger::report
