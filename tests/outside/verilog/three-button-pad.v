`timescale 1ns/1ns

// The three-button pad (common practice, no source): one multiplexer and a half, switches to ground with pull-ups.
// held: one bit an input, 1 is held: up down left right a b c start x y z mode from bit 0 on. pins: 1 2 3 4 6 9 from bit 0 on.
module three_button_pad #(parameter DELAY_NS = 14) (input select, input [11:0] held, output [5:0] pins);
  wire up = ~held[0], down = ~held[1], left = ~held[2], right = ~held[3];
  wire a = ~held[4], b = ~held[5], c = ~held[6], start = ~held[7];
  wire [1:0] spare;
  hc157 #(DELAY_NS) directions(1'b0, select, {1'b0, 1'b0, down, up}, {right, left, down, up}, pins[3:0]);
  hc157 #(DELAY_NS) buttons(1'b0, select, {2'b00, start, a}, {2'b00, c, b}, {spare, pins[5:4]});
endmodule
