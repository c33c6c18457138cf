`timescale 1ns/1ns

// A six-button pad in time: a counter of rises, cleared by a one-shot that every rise starts anew.
// AGAIN: 1, the count starts again after the fourth cycle; 0, it stays on three-button replies until the idle reset.
module six_button_pad #(parameter AGAIN = 0, parameter DELAY_NS = 14) (
  input power, input select, input [11:0] held, input [31:0] idle_ns, output reg [5:0] pins);
  localparam [63:0] NEVER = ~64'd0;
  reg [2:0] n;
  reg [63:0] due, rung;

  always @(posedge power) begin
    n = 0;
    due = NEVER;
  end

  // A rise at the very instant at which the one-shot runs out is the first after the reset, whichever is simulated first.
  always @(posedge select) if (power) begin
    if ($time >= due) n = 1;
    else if (AGAIN) n = (n + 1) % 4;
    else if (n < 4) n = n + 1;
    due = $time + idle_ns;
    rung <= #(idle_ns) due;
  end

  always @(rung) if (rung == due) n = 0;

  wire [5:0] reply;
  six_button_reply cells(n, select, held, reply);
  always @(reply) pins <= #(DELAY_NS) reply;
endmodule
