`timescale 1ns/1ns

// Quad two-input multiplexer after the function table of the 74HC157 datasheets: enable high, low; select low, input 0; select
// high, input 1. The delay is the typical figure from select to output at 4.5 V, 14 ns, from memory; the port table allows 10 to
// 30 ns. It is a transport delay: two changes that are closer together than it both come through.
module hc157 #(parameter DELAY_NS = 14) (
  input enable_bar, input s, input [3:0] i0, input [3:0] i1, output reg [3:0] y);
  always @(enable_bar, s, i0, i1) y <= #(DELAY_NS) enable_bar ? 4'b0000 : s ? i1 : i0;
endmodule
