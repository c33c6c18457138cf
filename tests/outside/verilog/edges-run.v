`timescale 1ns/1ns

// Drives edges_pad with EDGES edges and prints the checksum of what stands on its pins after each. The stimulus and the
// checksum are those of tests/speed/select-edges.ts.
module edges_run;
  parameter EDGES = 1;
  parameter HELD = 0;
  reg [63:0] now_ns = 0;
  reg select = 0;
  wire [5:0] pins;
  edges_pad pad(now_ns, select, HELD[11:0], pins);

  reg [31:0] random = 1, sum = 0;
  integer k;
  initial begin
    for (k = 0; k < EDGES; k = k + 1) begin
      random = random * 32'd1664525 + 32'd1013904223;
      now_ns = now_ns + 1 + random[31:20] + (random[15:12] == 0 ? 1400000 + 64 * random[31:20] : 0);
      select = ~select;
      #1 sum = sum * 31 + pins;
    end
    $display("%0d", sum);
    $finish;
  end
endmodule
