#pragma once
// Did this process come to the edge of its memory limit? The kernel turns a lack of memory into "cannot read" or breaks
// down on it, so only the peak size tells the two apart. Allocates nothing: a signal handler may call it.

namespace chipledger::part {

bool reachedMemoryLimit();

}  // namespace chipledger::part
