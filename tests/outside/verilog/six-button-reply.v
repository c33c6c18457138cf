// What a six-button pad answers after n rises of select (common practice, no source); n counts from 0 to 3, and 4 stands for
// whatever comes later. Bits of held and pins as in three-button-pad.v.
module six_button_reply(input [2:0] n, input select, input [11:0] held, output [5:0] pins);
  wire [11:0] line = ~held;
  wire identifies = n == 3'd2 && !select;
  wire shows_more = n == 3'd3 && select;
  wire end_mark = n == 3'd3 && !select;
  assign pins[3:0] =
    identifies ? 4'b0000 :
    shows_more ? {line[11], line[8], line[9], line[10]} :
    end_mark ? 4'b1111 :
    select ? line[3:0] : {2'b00, line[1:0]};
  assign pins[4] = select ? line[5] : line[4];
  assign pins[5] = select ? line[6] : line[7];
endmodule
