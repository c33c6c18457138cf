// A six-button pad that stays, for speed: it is told the time with every edge and schedules nothing. What it shows right
// after an edge is what six-button-pad.v settles to.
module edges_pad #(parameter IDLE_NS = 1500000) (input [63:0] now_ns, input select, input [11:0] held, output [5:0] pins);
  reg [2:0] n = 0;
  reg [63:0] due = ~64'd0;
  always @(posedge select) begin
    n <= now_ns >= due ? 3'd1 : n == 3'd4 ? 3'd4 : n + 3'd1;
    due <= now_ns + IDLE_NS;
  end
  six_button_reply cells(now_ns >= due ? 3'd0 : n, select, held, pins);
endmodule
