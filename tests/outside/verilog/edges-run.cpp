// Drives the compiled edges_pad with so many edges, held inputs and runs: edges-run EDGES HELD RUNS. Stimulus and checksum are those of
// tests/speed/select-edges.ts. Prints a line "CHECKSUM NANOSECONDS" for each run, the time of the loop alone.
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include "Vedges_pad.h"
#include "verilated.h"

int main(int argc, char **argv) {
  if (argc != 4) return 2;
  const long edges = std::atol(argv[1]);
  const long held = std::atol(argv[2]);
  const long runs = std::atol(argv[3]);
  for (long run = 0; run < runs; run++) {
    VerilatedContext context;
    const auto pad = std::make_unique<Vedges_pad>(&context);
    pad->held = held;
    pad->select = 0;
    pad->now_ns = 0;
    pad->eval();
    const auto start = std::chrono::steady_clock::now();
    std::uint32_t random = 1, sum = 0;
    std::uint64_t now_ns = 0;
    for (long k = 0; k < edges; k++) {
      random = random * 1664525u + 1013904223u;
      const std::uint32_t gap = random >> 20;
      now_ns += 1 + gap + ((random >> 12 & 0xf) == 0 ? 1400000 + 64 * gap : 0);
      pad->now_ns = now_ns;
      pad->select = ~k & 1;
      pad->eval();
      sum = sum * 31u + pad->pins;
    }
    const std::chrono::nanoseconds took = std::chrono::steady_clock::now() - start;
    std::printf("%u %lld\n", sum, static_cast<long long>(took.count()));
  }
  return 0;
}
