`timescale 1ns/1ns

// Plays script.txt to three pads and prints what is on their pins, in hexadecimal: three-button, six-button that stays,
// six-button that starts again. Each line of the script is a letter and a number:
//   h held inputs    i idle reset in ns    p power comes on with select at this level
//   w wait in ns     s select to this level    l look (the number does not matter)
module play;
  reg power = 0, select = 0;
  reg [11:0] held = 0;
  reg [31:0] idle_ns = 0;
  wire [5:0] three, stays, again;
  three_button_pad pad3(select, held, three);
  six_button_pad #(.AGAIN(0)) pad6(power, select, held, idle_ns, stays);
  six_button_pad #(.AGAIN(1)) pad6again(power, select, held, idle_ns, again);

  integer script, looks;
  reg [7:0] what;
  reg [31:0] number;
  initial begin
    script = $fopen("script.txt", "r");
    looks = $fopen("looks.txt", "w");
    while ($fscanf(script, " %c %d", what, number) == 2)
      case (what)
        "h": held = number;
        "i": idle_ns = number;
        "p": begin
          power = 0;
          #2 select = number;
          #2 power = 1;
        end
        "w": #(number);
        "s": select = number;
        "l": $fdisplay(looks, "%h %h %h", three, stays, again);
        default: $fatal(1, "a letter that the script does not have");
      endcase
    $fclose(looks);
    $finish;
  end
endmodule
